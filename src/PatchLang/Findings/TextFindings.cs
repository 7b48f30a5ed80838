namespace PatchLang.Findings;

/// <summary>PL01: what the parser can't read. Each kind is followed by the sentences it says.</summary>
public static class TextFindings
{
    /// <summary>PL0101: unexpected text.</summary>
    public static readonly FindingKind UnexpectedText = new("PL0101", Severity.Error, "unexpected text");

    internal static FindingMessage GoesOnWith(string subject, IReadOnlyList<string> expected, string found) =>
        new(UnexpectedText, $"{subject} goes on with {Either(expected)} here, not with {found}");

    internal static FindingMessage Incomplete(string subject, IReadOnlyList<string> expected) =>
        new(UnexpectedText, $"{subject} is not complete: {Either(expected)} must follow");

    internal static FindingMessage AlreadyComplete(string subject, string found) =>
        new(UnexpectedText, $"{subject} is complete before {found}, which opens no statement of its own");

    internal static FindingMessage Missing(string missing, string before) =>
        new(UnexpectedText, $"`{missing}` is missing before {before}");

    internal static FindingMessage OriginInside(string word) =>
        new(UnexpectedText, $"`{word}( … )` begins a feed and can't stand here: write a feed of its own for it, and name that");

    internal static FindingMessage BracesMissing(string setting) =>
        new(UnexpectedText, $"settings stand in braces: `{{` is missing before {setting}, and `}}` behind the last");

    internal static FindingMessage NotClosed(string opener, IReadOnlyList<string> closers) =>
        new(UnexpectedText, closers is [var only] ? $"`{opener}` is not closed: `{only}` is missing" : $"{closers.Count} brackets are not closed: {All([.. closers.Select(c => $"`{c}`")])} are missing");

    internal static FindingMessage NothingOpen(string closer) =>
        new(UnexpectedText, $"{closer} closes nothing: no bracket is open here");

    internal static FindingMessage QuotesMissing(string subject, string what, string text) =>
        new(UnexpectedText, $"{subject} goes on with {what} in quotes: \"{text}\"");

    internal static FindingMessage MixWithoutSum(string written, string meant) =>
        new(UnexpectedText, $"signals are mixed by `sum( … )`: {meant}, not {written}");

    internal static FindingMessage MisspeltWord(string written, string meant) =>
        new(UnexpectedText, $"`{written}` means nothing here; did you mean `{meant}`?");

    internal static FindingMessage TapWithoutSide { get; } =
        new(UnexpectedText, "`fader` stands behind `before` or `after`, which says on which side of it the signal is taken");

    internal static FindingMessage TapWithoutPlace(string side) =>
        new(UnexpectedText, $"`{side}` goes on with the place on the strip: `{side} fader`");

    internal static FindingMessage TooMuchBehind(string setting, string written) =>
        new(UnexpectedText, $"{setting} says it all: {written} behind it is too much");

    internal static FindingMessage OrderOfCable(string meant) =>
        new(UnexpectedText, $"a cable's medium, length and label stand in this order: {meant}");

    internal static FindingMessage CommaAtEnd(string next) =>
        new(UnexpectedText, $"`,` stands between two of a list, and nothing of it follows before {next}");

    /// <summary>PL0102: a line that opens no statement.</summary>
    public static readonly FindingKind UnreadableStatement = new("PL0102", Severity.Error, "a line that opens no statement");

    internal static FindingMessage MisspeltOpener(string written, string meant) =>
        new(UnreadableStatement, $"`{written}` opens no statement; did you mean `{meant}`?");

    internal static FindingMessage LineOfBraces(string word, IReadOnlyList<string> statements) =>
        new(UnreadableStatement, $"{word} opens no statement; it stands in the braces of {Either(statements)}");

    internal static FindingMessage NoOpener(string sign) =>
        new(UnreadableStatement, $"{sign} opens no statement; each opens with its own word, such as `unit` or `feed`");

    internal static FindingMessage OpenerMissing(string line, IReadOnlyList<string> openers) =>
        new(UnreadableStatement, $"{line} opens no statement; is {Either([.. openers.Select(o => $"`{o}`")])} missing before it?");

    internal static FindingMessage LineGoesOn(string line, string statement, string sign) =>
        new(UnreadableStatement, $"{line} opens no statement; if {statement} goes on here, `{sign}` is missing before it");

    internal static FindingMessage LooseLine(string line) =>
        new(UnreadableStatement, $"{line} opens no statement; a remark goes behind `//`");

    internal static FindingMessage LooseLines(int count) =>
        new(UnreadableStatement, $"{count} lines from here on open no statement; a remark goes behind `//`");

    /// <summary>PL0103: a text in quotes is not closed.</summary>
    public static readonly FindingKind OpenString = new("PL0103", Severity.Error, "a text in quotes is not closed");

    internal static FindingMessage TextNotClosed(string text) =>
        new(OpenString, $"the text {text} is not closed on its line");

    /// <summary>PL0104: a comment is not closed.</summary>
    public static readonly FindingKind OpenComment = new("PL0104", Severity.Error, "a comment is not closed");

    internal static readonly FindingMessage CommentNotClosed =
        new(OpenComment, "the comment that begins here is never closed; it is taken to end before the next statement");

    /// <summary>PL0105: a character that has no meaning here.</summary>
    public static readonly FindingKind StrayCharacter = new("PL0105", Severity.Error, "a character that has no meaning here");

    internal static readonly FindingMessage StrayQuote = new(StrayCharacter, "texts stand in straight quotes; type `\"`");

    internal static readonly FindingMessage StraySemicolon = new(StrayCharacter, "`;` has no meaning here; a statement needs no mark at its end");

    internal static readonly FindingMessage StraySemicolonInside = new(StrayCharacter, "`;` has no meaning here");

    internal static readonly FindingMessage StrayTimes = new(StrayCharacter, "`\u00D7` has no meaning here; several alike are counted in brackets, as in `mixer[1..6]`");

    internal static readonly FindingMessage StrayHash = RemarkBehind("#");

    internal static readonly FindingMessage StrayDashes = RemarkBehind("--");

    internal static readonly FindingMessage CommentNotOpened = new(StrayCharacter, "`*/` closes a comment that nothing opened");

    private static FindingMessage RemarkBehind(string mark) => new(StrayCharacter, $"`{mark}` has no meaning here; a remark goes behind `//`");

    internal static FindingMessage Stray(string sign) => new(StrayCharacter, $"{sign} has no meaning outside of quotes and comments");

    internal static FindingMessage StrayFor(string sign, string typed) => new(StrayCharacter, $"{sign} has no meaning here; type `{typed}`");

    internal static FindingMessage StrayArrow(string sign) => new(StrayCharacter, $"{sign} has no meaning here; an arrow is typed `->`");

    internal static FindingMessage StrayInName(string sign) => new(StrayCharacter, $"{sign} can't stand in a name; type `_`");

    internal static FindingMessage StraySpace(string sign) => new(StrayCharacter, $"a special kind of space stands here ({sign}); type a plain one");

    internal static FindingMessage StrayInvisible(string sign) => new(StrayCharacter, $"a character that can't be seen stands here ({sign}); it has no meaning outside of quotes and comments");

    internal static FindingMessage Repeated(FindingMessage message, int count) => message with { Text = $"{message.Text} ({count} times in this statement)" };

    /// <summary>PL0106: a reserved word used as a name.</summary>
    public static readonly FindingKind ReservedWord = new("PL0106", Severity.Error, "a reserved word used as a name");

    internal static readonly FindingMessage RateAsSetting =
        new(ReservedWord, "`rate` opens a statement wherever it stands, so it is no setting; a unit's own rate stands before its braces, as in `at 96 kHz`");

    internal static readonly FindingMessage NetworkAsSource =
        new(ReservedWord, "`network` opens a statement wherever it stands, so it is no source of time; that is the port on the network, mostly called `net`");

    internal static FindingMessage Reserved(string word, bool opensStatement) => new(ReservedWord, opensStatement
        ? $"`{word}` opens a statement wherever it stands, so it is no name; `x_{word}` would be one"
        : $"`{word}` has a meaning of its own wherever it stands, so it is no name; `x_{word}` would be one");

    /// <summary>The acts of a statement, written inside its braces.</summary>
    internal static FindingMessage ActsInBraces(string during) =>
        new(ReservedWord, $"`{during}` stands after the closing brace: it says in which acts the whole statement holds, and is no setting");

    /// <summary>PL0107: a number without its unit.</summary>
    public static readonly FindingKind MissingUnit = new("PL0107", Severity.Error, "a number without its unit");

    internal static FindingMessage UnitMissing(string quantity, string number, string unit) =>
        new(MissingUnit, $"{quantity} needs a unit: {number} {unit}?");

    internal static FindingMessage UnknownUnit(string written, string quantity, string symbols, string? meant) =>
        new(MissingUnit, $"`{written}` is no unit of {quantity}; " + (meant is null ? $"that is given in {symbols}" : $"did you mean `{meant}`?"));

    internal static FindingMessage UnitAsSetting(string symbol) =>
        new(MissingUnit, $"`{symbol}` is a unit: a number is missing before it, and no setting can be called so");

    /// <summary>PL0108: a number that can't be read.</summary>
    public static readonly FindingKind MalformedNumber = new("PL0108", Severity.Error, "a number that can't be read");

    internal static FindingMessage FractionWithoutNought(string written, string mended) =>
        new(MalformedNumber, $"`{written}` lacks the nought before its point: {mended}");

    internal static FindingMessage PointWithoutFraction(string written, string mended) =>
        new(MalformedNumber, $"`{written}` ends in a point without a fraction: {mended}");

    internal static FindingMessage NoNumber(string written) =>
        new(MalformedNumber, $"`{written}` is no number: a number has one point at most");

    internal static FindingMessage DecimalComma(string written, string mended) =>
        new(MalformedNumber, $"`{written}` has a comma before its fraction; a fraction stands behind a point: {mended}");

    internal static FindingMessage DigitsApart(string written, string mended) =>
        new(MalformedNumber, $"`{written}` is two numbers; the digits of one stand together: {mended}");

    internal static FindingMessage DigitsSeparated(string written, string mended) =>
        new(MalformedNumber, $"`{written}` has a separator among its digits; numbers are written without: {mended}");

    internal static FindingMessage ChannelBehindDot(string written, string meant) =>
        new(UnexpectedText, $"a number behind a name stands in brackets: `{meant}`, not `{written}`");

    internal static FindingMessage NumberInFull(string written, string mended) =>
        new(MalformedNumber, $"`{written}` is no number; numbers are written out: {mended}");

    internal static FindingMessage DigitBeforeName(string written) =>
        new(MalformedNumber, $"`{written}` is neither a number nor a name: a name begins with a letter or `_`");

    internal static FindingMessage SignInName(string written, string name) =>
        new(MalformedNumber, $"`{written}` is no name: names are letters, digits and `_`, as in `{name}`");

    /// <summary>PL0109: a statement too long to read.</summary>
    public static readonly FindingKind StatementTooLong = new("PL0109", Severity.Error, "a statement too long to read");

    internal static FindingMessage TooLong(int most) =>
        new(StatementTooLong, $"this statement holds more than {most:N0} words, numbers and signs, and is not read");

    /// <summary>PL0110: a file that is not text.</summary>
    public static readonly FindingKind UnreadableFile = new("PL0110", Severity.Error, "a file that is not text");

    /// <summary>PL0111: very many statements that can't be read.</summary>
    public static readonly FindingKind ManyUnread = new("PL0111", Severity.Error, "very many statements that can't be read");

    internal static FindingMessage MoreUnread(int count, int most) =>
        new(ManyUnread, $"{count:N0} more {(count == 1 ? "statement" : "statements")} from here on can't be read; of one file the first {most:N0} are told");

    private static string Either(IReadOnlyList<string> phrases) => List(phrases, " or ");

    private static string All(IReadOnlyList<string> phrases) => List(phrases, " and ");

    private static string List(IReadOnlyList<string> phrases, string last) =>
        phrases.Count < 2 ? string.Concat(phrases) : string.Join(", ", phrases.SkipLast(1)) + (phrases.Any(p => p.Contains(" and ", StringComparison.Ordinal)) ? "," : "") + last + phrases[^1];
}
