namespace PatchLang.Findings;

/// <summary>PL02: names and files. Each kind is followed by the sentences it says.</summary>
public static class NameFindings
{
    /// <summary>PL0201: unknown name.</summary>
    public static readonly FindingKind UnknownName = new("PL0201", Severity.Error, "unknown name") { LeavesUnknown = Grounds.AllButSignals };

    /// <summary>PL0202: the same name twice.</summary>
    public static readonly FindingKind DuplicateName = new("PL0202", Severity.Error, "the same name twice");

    /// <summary>PL0203: a name of another sort of thing.</summary>
    public static readonly FindingKind WrongSort = new("PL0203", Severity.Error, "a name of another sort of thing") { LeavesUnknown = Grounds.AllButSignals };

    /// <summary>PL0204: files that use each other in a circle.</summary>
    public static readonly FindingKind CircularUse = new("PL0204", Severity.Error, "files that use each other in a circle");

    /// <summary>PL0205: a used file that can't be read.</summary>
    public static readonly FindingKind FileNotFound = new("PL0205", Severity.Error, "a used file that can't be read");

    /// <summary>PL0206: a used file outside the plan's folder.</summary>
    public static readonly FindingKind FileOutside = new("PL0206", Severity.Error, "a used file outside the plan's folder");

    /// <summary>PL0207: a setting that means nothing here.</summary>
    public static readonly FindingKind UnknownSetting = new("PL0207", Severity.Warning, "a setting that means nothing here") { LeavesUnknown = Grounds.Figures };

    /// <summary>PL0208: a setting's value that does not fit.</summary>
    public static readonly FindingKind WrongValue = new("PL0208", Severity.Error, "a setting's value that does not fit") { LeavesUnknown = Grounds.Figures };

    /// <summary>PL0209: counts that do not fit the gear.</summary>
    public static readonly FindingKind WrongArguments = new("PL0209", Severity.Error, "counts that do not fit the gear");

    /// <summary>PL0210: no such element or side.</summary>
    public static readonly FindingKind UnknownElement = new("PL0210", Severity.Error, "no such element or side") { HangsOn = Grounds.Signals, LeavesUnknown = Grounds.AllButSignals };

    /// <summary>PL0211: feeds that start from each other in a circle.</summary>
    public static readonly FindingKind CircularFeeds = new("PL0211", Severity.Error, "feeds that start from each other in a circle");

    /// <summary>PL0212: a bundle that holds itself.</summary>
    public static readonly FindingKind CircularBundle = new("PL0212", Severity.Error, "a bundle that holds itself");

    /// <summary>PL0213: the same signal twice in a bundle.</summary>
    public static readonly FindingKind RepeatedMember = new("PL0213", Severity.Error, "the same signal twice in a bundle");

    /// <summary>PL0214: an act in which the equipment is not there.</summary>
    public static readonly FindingKind ActReachesFurther = new("PL0214", Severity.Error, "an act in which the equipment is not there") { HangsOn = Grounds.Ways | Grounds.Joins, IsOfWholeStatement = true };

    /// <summary>PL0215: a statement that belongs in the root file alone.</summary>
    public static readonly FindingKind RootOnly = new("PL0215", Severity.Error, "a statement that belongs in the root file alone");

    /// <summary>PL0216: an edition of the language that is not known here.</summary>
    public static readonly FindingKind UnknownEdition = new("PL0216", Severity.Error, "an edition of the language that is not known here");

    /// <summary>PL0217: a definition that can't be made.</summary>
    public static readonly FindingKind CircularGear = new("PL0217", Severity.Error, "a definition that can't be made");

    /// <summary>PL0218: an act in front of a statement.</summary>
    public static readonly FindingKind ActBefore = new("PL0218", Severity.Warning, "an act in front of a statement");

    internal static FindingMessage ActInFront(string during, string opener) =>
        new(ActBefore, $"`{during}` stands in front of this `{opener}` and holds for the statement above it: acts are written at the end of what they hold for");

    internal static FindingMessage Unknown(string sort, string name, string? nearest) =>
        new(UnknownName, $"there is no {sort} called `{name}`{DidYouMean(nearest)}") { Of = [name] };

    internal static FindingMessage NotTakenIn(string sort, string name, string file) =>
        new(UnknownName, $"there is no {sort} called `{name}` here; `use \"{file}\"` takes it in") { Of = [name] };

    internal static FindingMessage SeveralNotTakenIn(string[] names, string file) =>
        new(UnknownName, $"{Listed([.. names.Select(n => $"`{n}`")])} are not here; `use \"{file}\"` takes them in") { Of = [.. names] };

    internal static FindingMessage UnknownCount(string name, string gear, string? nearest) =>
        new(UnknownName, $"{gear} has no count called `{name}`{DidYouMean(nearest)}");

    internal static FindingMessage UnknownInGear(string name, string gear, string sorts, string? nearest) =>
        new(UnknownName, $"{gear} has no {sorts} called `{name}`{DidYouMean(nearest)}");

    internal static FindingMessage NoSocket(string device, string gear, string name, string? nearest) =>
        new(UnknownName, $"{device} is a {gear}, which has no socket, strip or bus called `{name}`{DidYouMean(nearest)}");

    internal static FindingMessage NoClockOf(string device, string name, string? nearest) =>
        new(UnknownName, $"{device} has no slot or clock called `{name}`{DidYouMean(nearest)}");

    internal static FindingMessage EmptySlot(string slot) =>
        new(UnknownName, $"nothing is fitted in {slot}: name its card in the unit's braces");

    internal static FindingMessage NothingInside(string thing, string name) =>
        new(UnknownName, $"{thing} has nothing inside it that could be called `{name}`");

    internal static FindingMessage SocketWanted(string device, bool isCard, string examples) =>
        new(WrongSort, $"{device} is a whole {(isCard ? "card" : "unit")}; a socket of it is wanted here{(examples.Length == 0 ? ", and it has none" : $": {examples}")}");

    /// <summary>The remark at the earlier of two declarations of one name.</summary>
    internal const string FirstHere = "first here";

    internal static FindingMessage Duplicate(string sort, string other, string name) =>
        new(DuplicateName, sort == other ? $"there is already {A(sort)} called `{name}`" : $"{Both(sort, other)} are both called `{name}`");

    /// <summary>Two declarations of one name that apply in the same acts, at least one of which names acts.</summary>
    internal static FindingMessage DuplicateDuring(string sort, string name, string acts, bool isFirstAllDay, bool isThisAllDay) =>
        new(DuplicateName, $"there is already {A(sort)} called `{name}` during {acts}{(isFirstAllDay ? ": the first names no acts, so it holds all day" : isThisAllDay ? ": this one names no acts, so it holds all day" : "")}");

    internal static FindingMessage ChangesSort(string name, string first, string other) =>
        new(DuplicateName, $"{Both(first, other)} are both called `{name}`, each in its acts: a name keeps its sort over all acts");

    internal static FindingMessage ChangesElements(string name) =>
        new(DuplicateName, $"`{name}` has other elements in other acts: a name keeps its elements over all acts");

    internal static FindingMessage DuplicateIn(string name, string gear) =>
        new(DuplicateName, $"`{name}` is there twice in {gear}");

    internal static FindingMessage ElementTwice(string name) =>
        new(DuplicateName, $"`{name}` is there twice in one index");

    internal static FindingMessage OnceOnly(string word) =>
        new(DuplicateName, $"a plan has one `{word}` statement, and this is the second");

    internal static FindingMessage SlotTwice(string slot) =>
        new(DuplicateName, $"two cards are put in {slot}");

    internal static FindingMessage OtherSort(string name, string sort, string wanted) =>
        new(WrongSort, $"`{name}` is {A(sort)}; what is wanted here is {A(wanted)}");

    internal static FindingMessage WhichClock(string device, string[] clocks) =>
        new(WrongSort, $"{device} has several clocks; say which: {Listed([.. clocks.Select(c => $"{device}.{c}")])}");

    internal static FindingMessage CardAsUnit(string card) =>
        new(WrongSort, $"{card} is a card: it goes into a slot of a unit, and is no unit by itself");

    internal static FindingMessage TwinOfTwin(string network) =>
        new(WrongSort, $"{network} can't have this network as its second leg: a second leg belongs to another network, which is a first leg");

    internal static FindingMessage UsesItself() =>
        new(CircularUse, "this file uses itself");

    internal static FindingMessage UsesInCircle(string path) =>
        new(CircularUse, $"{path} uses this file in turn, directly or through others: they go round in a circle");

    internal static FindingMessage ActsInCircle(string act) =>
        new(CircularGear, $"`{act}` is to come after itself, or after an act that comes after it");

    internal static FindingMessage NoLibraryFile(string written, string? nearest) =>
        new(FileNotFound, $"the library has no file {written}{DidYouMean(nearest)}");

    internal static FindingMessage NoFileButShipped(string written, string shipped) =>
        new(FileNotFound, $"there is no file {written}; did you mean `{shipped}`, which is the library's?");

    internal static FindingMessage NoPath() =>
        new(FileNotFound, "there is no path between the quotes; a used file is named as in \"library/stage.rig\"");

    internal static FindingMessage BackslashInPath(string meant) =>
        new(FileNotFound, $"a path is written with forward slashes: \"{meant}\"");

    internal static FindingMessage UseOutside(string written) =>
        new(FileOutside, $"{written} leads out of the plan's folder: a plan uses files below the folder of its root file, written with forward slashes, and the library");

    internal static FindingMessage FileProblemOf(string written, FileProblem problem, string? detail) => problem switch
    {
        FileProblem.Outside => new(FileOutside, $"{written} lies outside the plan's folder"),
        FileProblem.ThroughLink => new(FileOutside, $"{written} leads through a link out of the plan's folder"),
        FileProblem.WrongCase => new(FileNotFound, $"there is no file {written}; {detail ?? "another"} is there, which differs in capital letters"),
        FileProblem.NotText => new(TextFindings.UnreadableFile, $"{written} is not text in UTF-8{Because(detail)}"),
        FileProblem.TooLarge => new(FileNotFound, $"{written} is too large{Because(detail)}"),
        FileProblem.Unreadable => new(FileNotFound, $"{written} can't be opened{Because(detail)}"),
        _ => new(FileNotFound, $"there is no file {written}"),
    };

    internal static FindingMessage UnknownSettingAt(string name, string place, string? nearest) =>
        new(UnknownSetting, $"`{name}` means nothing to {place}{DidYouMean(nearest)}");

    internal static FindingMessage WrongValueOf(string name, string wanted) =>
        new(WrongValue, $"{name} {wanted}");

    internal static FindingMessage NoCount(string what, int most) =>
        new(WrongValue, $"{what} is a whole number, {most:N0} at most");

    internal static FindingMessage ArgumentCount(string gear, string[] parameters, int needed, int written) =>
        new(WrongArguments, parameters.Length == 0
            ? $"{gear} takes no counts in parentheses, and {Counted(written, "count")} {Are(written)} written"
            : $"{gear} takes {(needed == parameters.Length ? Counted(needed, "count") : $"{needed} to {parameters.Length} counts")} in parentheses ({string.Join(", ", parameters)}), and {(written == 0 ? "none is" : $"{written} {Are(written)}")} written");

    internal static FindingMessage ArgumentTooLarge(string parameter, int most) =>
        new(ChannelFindings.TooLarge, $"{parameter} counts channels of a socket, which has at most {most:N0}");

    internal static FindingMessage NoElement(string sort, string name, string element, string? known, string? nearest) =>
        new(UnknownElement, known is null ? $"the {sort} {name} is one, without numbers or names, and has no `{element}`" : $"the {sort} {name} has no `{element}`; it has {known}{(char.IsAsciiDigit(element[0]) ? "" : DidYouMean(nearest))}") { Of = [name] };

    internal static FindingMessage NotSeveral(string unit) =>
        new(UnknownElement, $"{unit} is one unit: an index is for several units alike, such as `unit {unit}[1..4] : …`") { Of = [unit] };

    internal static FindingMessage NotANumber(string socket, string name) =>
        new(UnknownElement, $"channels of {socket} are numbered from 1; `{name}` is no number") { Of = [socket] };

    internal static FindingMessage FeedsInCircle(string[] names) =>
        new(CircularFeeds, names.Length == 1 ? $"{names[0]} starts from itself" : $"{Listed(names)} start from each other in a circle: none of them has a source");

    internal static FindingMessage BundlesInCircle(string[] names) =>
        new(CircularBundle, names.Length == 1 ? $"{names[0]} holds itself" : $"{Listed(names)} hold each other in a circle");

    internal static FindingMessage TwiceInBundle(string feed, string bundle) =>
        new(RepeatedMember, $"{feed} is in {bundle} already");

    internal static FindingMessage ReachesFurther(string sort, string name, string acts) =>
        new(ActReachesFurther, $"the {sort} {name} is for {acts}, too, but what it goes through is not there then");

    internal static FindingMessage StatementReachesFurther(string word, string acts) =>
        new(ActReachesFurther, $"this `{word}` is for {acts}, too, but what it names is not there then");

    internal static FindingMessage OnlyInRoot(string word, string root) =>
        new(RootOnly, $"`{word}` holds in the root file alone, which is {root}");

    internal static FindingMessage EditionUnknown(string edition) =>
        new(UnknownEdition, $"edition {edition} of the language is not known here; this version of PatchLang reads edition 1");

    private static string Both(string sort, string other) => string.CompareOrdinal(sort, other) < 0 ? $"{A(sort)} and {A(other)}" : $"{A(other)} and {A(sort)}";

    /// <summary>A sort with its indefinite article; "gear" takes none.</summary>
    private static string A(string sort) => sort == "gear" ? sort : sort is ['a' or 'e' or 'i' or 'o', ..] ? $"an {sort}" : $"a {sort}";

    internal static string DidYouMean(string? nearest) => nearest is null ? "" : $"; did you mean `{nearest}`?";

    internal static string Counted(long count, string one) => count == 1 ? $"1 {one}" : $"{count:N0} {one}s";

    internal static string Are(long count) => count == 1 ? "is" : "are";

    internal static string Listed(IReadOnlyList<string> names) =>
        names.Count switch
        {
            0 => "",
            1 => names[0],
            <= 6 => string.Join(", ", names.Take(names.Count - 1)) + " and " + names[^1],
            _ => string.Join(", ", names.Take(5)) + $" and {names.Count - 5} more",
        };

    private static string Because(string? detail) => detail is null ? "" : $": {detail}";
}
