using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>Reports a token that does not fit the grammar, and what was expected in its place.</summary>
internal static class UnexpectedText
{
    // Settings that belong in braces after a statement; without the braces they look like the next hop of a feed.
    private static readonly ImmutableArray<string> Settings =
        ["phantom", "private", "public", "delay", "level", "gain_by", "mic", "stand", "note", "place"];

    private static readonly ImmutableArray<(NodeKind Body, ImmutableArray<TokenKind> Lines)> Bodies =
    [
        (NodeKind.GearBody, [TokenKind.In, TokenKind.Out, TokenKind.Port, TokenKind.Strip, TokenKind.Bus, TokenKind.Slot, TokenKind.Route, TokenKind.Clock, TokenKind.Limit, TokenKind.Latency]),
        (NodeKind.Format, [TokenKind.Joins, TokenKind.Way, TokenKind.Channels, TokenKind.Time, TokenKind.Medium]),
        (NodeKind.Network, [TokenKind.Group, TokenKind.Join, TokenKind.Latency, TokenKind.Link, TokenKind.Twin]),
        (NodeKind.Clock, [TokenKind.From]),
    ];

    private static readonly char[] Curly = ['\u201C', '\u201D', '\u201E', '\u201F', '\'', '\u2018', '\u2019', ' '];

    // Signs that people put before or around a path; in a title they may be meant.
    private static readonly char[] AroundPath = [.. Curly, ':', '=', '(', ')', '<', '>', '{', '}'];

    public static void Tell(BrokenStatement broken, int number)
    {
        if (TellMisspelt(broken, number) || TellLineOfBraces(broken, number) || TellOpenBrace(broken, number)) return;
        var error = broken.Shape.Errors[number];
        var repairs = broken.Shape.RepairsOf(number);
        foreach (var repair in repairs)
            if (repair.Kind == RepairKind.Close)
            {
                TellUnclosed(broken, repair);
                return;
            }

        var inserts = repairs.Where(r => r.Kind == RepairKind.Insert).ToList();
        var isSetting = error.Token < broken.TokenCount && Settings.Contains(broken.TextOf(error.Token));
        var isWrapped = repairs.Any(r => r.Kind == RepairKind.Wrap);
        var mends = MendsOf(broken, isSetting, repairs);
        isSetting |= broken.KindOf(error.Token + 1) == TokenKind.Equal;
        if (isWrapped && (isSetting || !repairs.Any(r => r.Kind is RepairKind.Insert or RepairKind.Quote)))
            Add(TextFindings.BracesMissing(broken.Quoted(error.Token)), mends);
        else if (inserts is [{ Added: var missing } only] && repairs.All(r => r.Kind is RepairKind.Insert or RepairKind.Wrap || !r.IsWhole))
            broken.Add(Math.Max(only.Token, error.Token), new TextProblem(TextFindings.Missing(Spelling.Of(missing), broken.Quoted(only.Token)), broken.Reading.SpanOf(only.Token))
            {
                Mends = mends,
                Related = missing.IsCloser() ? OpenedBefore(broken, only.Token) : null,
            });
        else Add(MessageOf(broken, error), mends);

        void Add(FindingMessage message, ImmutableArray<TextMend> with) =>
            broken.Add(error.Token, new TextProblem(message, broken.Reading.SpanOf(error.Token)) { Mends = with });
    }

    public static FindingMessage MessageOf(BrokenStatement broken, ShapeError error)
    {
        var subject = Expectations.SubjectOf(broken.Shape, error);
        var expected = Expectations.Of(broken.Shape, error);
        if (error.Token >= broken.TokenCount) return TextFindings.Incomplete(subject, expected);
        var found = broken.Quoted(error.Token);
        if (broken.KindOf(error.Token).IsCloser() && Repairs.OpenBefore(broken.Shape.Tokens.AsSpan(), error.Token).Count == 0) return TextFindings.NothingOpen(found);
        return expected is [] or ["the next statement"] ? TextFindings.AlreadyComplete(subject, found) : TextFindings.GoesOnWith(subject, expected, found);
    }

    /// <summary>A misspelt keyword, at the error or just before it.</summary>
    private static bool TellMisspelt(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        if (error.Token >= broken.TokenCount) return false;
        var body = Bodies.FirstOrDefault(b => b.Body == error.Rule);
        if (body.Lines.IsDefault)
        {
            var words = error.Expected.Contains(TokenKind.Name) ? [] : error.Expected.Where(k => k.IsContextual() || k == TokenKind.During).ToImmutableArray();
            return TellMisspelt(broken, number, error.Token, words);
        }
        // The misspelt keyword of a line, and the name after it, were parsed as settings: the error comes later than the word.
        for (var token = error.Token; token >= Math.Max(1, error.Token - 2); token--)
            if (TellMisspelt(broken, number, token, body.Lines)) return true;
        return false;
    }

    private static bool TellMisspelt(BrokenStatement broken, int number, int token, ImmutableArray<TokenKind> words)
    {
        if (!broken.KindOf(token).CanBeName() || words.IsEmpty) return false;
        var written = broken.TextOf(token);
        var fitting = words.Where(w => Nearest.To(written, [Spelling.Of(w)]) is not null && Repairs.Mends(broken.Shape, number, token, w));
        if (Nearest.To(written, fitting.Select(Spelling.Of)) is not { } meant) return false;
        var span = broken.Reading.SpanOf(token);
        broken.Add(broken.Shape.Errors[number].Token, new TextProblem(TextFindings.MisspeltWord(written, meant), span)
        {
            Mends = [new TextMend($"write `{meant}`", true, span, meant)],
        });
        return true;
    }

    /// <summary>A title or a path without its quotes; false if it is something else.</summary>
    public static bool TellUnquoted(BrokenStatement broken)
    {
        if (broken.Statement.Kind is not (NodeKind.Rig or NodeKind.Use) || broken.Shape.Errors is not [{ Token: 1, Expected: [TokenKind.String] }, ..]
            || broken.TokenCount < 2 || broken.IsFirstOnLine(1) || broken.KindOf(1) == TokenKind.OpenString) return false;
        var end = 2;
        while (end < broken.TokenCount && !broken.IsFirstOnLine(end) && broken.KindOf(end) is not (TokenKind.As or TokenKind.Edition or TokenKind.String or TokenKind.OpenString or TokenKind.OpenBlock)) end++;
        var span = broken.Reading.SpanOf(1, end);
        var written = broken.Reading.TextOf(span).ToString();
        // If the path or title contains an opening word, its rest is the next statement.
        if (end == broken.TokenCount && broken.Next is { } next && ReservedNames.IsContinuation(broken.Statement, next))
        {
            var rest = next.Text.Span;
            var length = rest.IndexOfAny(broken.Statement.Kind == NodeKind.Rig ? "\r\n" : " \t\r\n") is var gap and >= 0 ? gap : rest.Length;
            written = string.Concat(broken.Statement.Text.Span[span.Start..], rest[..length]);
            span = new TextSpan(span.Start, written.Length);
        }
        // It has its quotes, or the first of them.
        if (written.AsSpan(0, written.Length - 1).Contains('"') || broken.KindOf(end) == TokenKind.String) return false;
        if (broken.KindOf(end) == TokenKind.OpenString && broken.IsGlued(end) && broken.Reading.TextOf(end).TrimEnd() is "\"") span = broken.Reading.SpanOf(1, end + 1) with { Length = span.Length + 1 };
        broken.Add(1, Unquoted(broken.Statement.Kind, span, written));
        return true;
    }

    /// <summary>The problem of an unquoted path in full: keywords in it may have cut it into more than two statements.</summary>
    /// <param name="problem">The problem as determined from its own statement and the next one.</param>
    /// <param name="text">The file.</param>
    /// <param name="start">Where the statement starts in it.</param>
    public static TextProblem WholePath(TextProblem problem, string text, int start)
    {
        var rest = text.AsSpan(start + problem.Span.Start);
        var length = rest.IndexOfAny(" \t\r\n") is var gap and >= 0 ? gap : rest.Length;
        return length <= problem.Span.Length ? problem : Unquoted(NodeKind.Use, new TextSpan(problem.Span.Start, length), rest[..length].ToString());
    }

    private static TextProblem Unquoted(NodeKind kind, TextSpan span, string written)
    {
        var isTitle = kind == NodeKind.Rig;
        var text = written.Trim(isTitle ? Curly : AroundPath).Trim('"');
        // The files of the library all end in `.rig`.
        if (!isTitle && text.StartsWith("library/", StringComparison.Ordinal) && !text.AsSpan("library/".Length).Contains('.')) text += ".rig";
        return new TextProblem(TextFindings.QuotesMissing(Expectations.StatementName(kind), isTitle ? "the title" : "a path", text), span)
        {
            Mends = [new TextMend("put it in quotes", !isTitle && !text.AsSpan().ContainsAny(' ', '\t'), span, $"{(written[0] is ':' or '=' ? " " : "")}\"{text}\"")],
            IsUnquotedPath = !isTitle,
        };
    }

    /// <summary>A line that belongs inside the braces of another statement.</summary>
    private static bool TellLineOfBraces(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        return error.Rule == NodeKind.Plan && error.Token < broken.TokenCount && broken.IsFirstOnLine(error.Token) && TellLineOfBracesAt(broken, error.Token);
    }

    /// <summary>Reports a line that belongs inside the braces of another statement; false if it does not begin with such a keyword.</summary>
    public static bool TellLineOfBracesAt(BrokenStatement broken, int token)
    {
        var kind = broken.KindOf(token);
        var places = Bodies.Where(b => b.Lines.Contains(kind) && b.Body != NodeKind.Clock).Select(b => b.Body).ToList();
        if (places.Count == 0) return false;
        var bodies = places.SelectMany(p => p switch
        {
            NodeKind.GearBody => ["`gear`", "`card`"],
            NodeKind.Format => ["`format`"],
            _ => (string[])["`network`"],
        }).ToList();
        broken.Add(token, new TextProblem(TextFindings.LineOfBraces(broken.Quoted(token), bodies), broken.Reading.SpanOf(token))
        {
            // Lines of gear describe nothing that the rest of the plan refers to; lines of a network do.
            Meant = places.Contains(NodeKind.Network) ? NodeKind.Network : NodeKind.Statement,
            IsOfBraces = true,
        });
        return true;
    }

    /// <summary>A brace that should have been closed before the line at which parsing failed.</summary>
    private static bool TellOpenBrace(BrokenStatement broken, int number)
    {
        var error = broken.Shape.Errors[number];
        if (error.Token >= broken.TokenCount) return false;
        var line = broken.LineStartOf(error.Token);
        var open = Repairs.OpenBefore(broken.Shape.Tokens.AsSpan(), line);
        if (line == 0 || open.Count < 2 || broken.KindOf(open[^1]) != TokenKind.OpenBrace
            || !Repairs.MendsBefore(broken.Shape, number, line, TokenKind.CloseBrace)) return false;
        var end = broken.Reading.SpanOf(line - 1).End;
        broken.Add(error.Token, new TextProblem(TextFindings.Missing("}", broken.Quoted(line)), broken.Reading.SpanOf(line))
        {
            Related = (broken.Reading.SpanOf(open[^1]), "opened here"),
            Mends = [new TextMend("put `}` before it", false, new TextSpan(end, 0), " }")],
        });
        return true;
    }

    private static void TellUnclosed(BrokenStatement broken, Repair repair)
    {
        var open = Repairs.OpenBefore(broken.Shape.Tokens.AsSpan(), broken.TokenCount);
        var closers = open.AsEnumerable().Reverse().Select(o => Spelling.Of(Spelling.CloserOf(broken.KindOf(o)))).ToList();
        var at = broken.Reading.SpanOf(broken.TokenCount);
        var text = string.Join(' ', closers);
        var isOnOneLine = broken.LineStartOf(broken.TokenCount - 1) <= open[0];
        var gap = !isOnOneLine ? "\n" : closers is ["]" or ")"] ? "" : " ";
        broken.Add(broken.TokenCount, new TextProblem(TextFindings.NotClosed(broken.TextOf(open[^1]), closers), at)
        {
            Related = (broken.Reading.SpanOf(open[^1]), "opened here"),
            Mends = [new TextMend($"put `{text}` at the end", repair.IsWhole && isOnOneLine, at, gap + text)],
        });
    }

    private static (TextSpan, string)? OpenedBefore(BrokenStatement broken, int token) =>
        Repairs.OpenBefore(broken.Shape.Tokens.AsSpan(), token) is [.., var opener] ? (broken.Reading.SpanOf(opener), "opened here") : null;

    private static ImmutableArray<TextMend> MendsOf(BrokenStatement broken, bool isSetting, ImmutableArray<Repair> repairs)
    {
        // A repair is safe if it is the only one and leaves no other error.
        var isOnly = repairs is [{ IsWhole: true, Kind: RepairKind.Insert or RepairKind.Replace }];
        return [.. repairs.OrderBy(r => r.Kind == RepairKind.Wrap && isSetting ? 0 : 1).ThenBy(r => Rank(r)).Take(3).Select(r => MendOf(broken, r, isOnly)).OfType<TextMend>()];
    }

    /// <summary>
    /// Whether a repair is the only possible intention: next to an inserted sign, a bare name may be one word too many, and two numbers may be one.
    /// </summary>
    private static bool IsAllThatFits(BrokenStatement broken, Repair repair)
    {
        var (before, at, behind) = (broken.KindOf(repair.Token - 1), broken.KindOf(repair.Token), broken.KindOf(repair.Token + 1));
        var isBareBefore = before.CanBeName() && broken.KindOf(repair.Token - 2) is not (TokenKind.Before or TokenKind.After);
        return repair.Added switch
        {
            TokenKind.Comma or TokenKind.Arrow => at == TokenKind.String || (at.CanBeName() && !isBareBefore && behind is TokenKind.Dot or TokenKind.Before or TokenKind.After),
            // A prefix renames everything in a file, and `hears` may have been meant as `never hears`.
            TokenKind.As or TokenKind.Hears => false,
            // Another language's word for the brace, such as `begin`, would be taken for a setting.
            TokenKind.OpenBrace => at != TokenKind.Name,
            // A keyword may have been intended, with the name missing.
            var word => word.IsSign() || !before.IsContextual(),
        };
    }

    private static int Rank(Repair repair) => repair.Kind switch
    {
        RepairKind.Replace => 0,
        RepairKind.Insert when repair.Added == TokenKind.Comma => 1,
        RepairKind.Insert => 2,
        _ => 3,
    };

    private static TextMend? MendOf(BrokenStatement broken, Repair repair, bool isSafe)
    {
        var reading = broken.Reading;
        isSafe &= repair.Kind != RepairKind.Insert || IsAllThatFits(broken, repair);
        var added = Spelling.Of(repair.Added);
        switch (repair.Kind)
        {
            case RepairKind.Insert when repair.Added.IsCloser() || repair.Added == TokenKind.Comma:
                var gap = repair.Added == TokenKind.CloseBrace ? " " : "";
                return new TextMend($"put `{added}` in", isSafe, new TextSpan(reading.SpanOf(repair.Token - 1).End, 0), gap + added);
            case RepairKind.Insert when repair.Added == TokenKind.Dots:
                return new TextMend("put `..` in", isSafe, TextSpan.FromTo(reading.SpanOf(repair.Token - 1).End, reading.SpanOf(repair.Token).Start), added);
            case RepairKind.Insert:
                return new TextMend($"put `{added}` in", isSafe, new TextSpan(reading.SpanOf(repair.Token).Start, 0), added + " ");
            case RepairKind.Replace:
                return new TextMend($"write `{added}`", isSafe, reading.SpanOf(repair.Token, repair.Token + repair.Count), added);
            case RepairKind.Quote:
                var words = reading.SpanOf(repair.Token, repair.Token + repair.Count);
                return new TextMend("put it in quotes", false, words, $"\"{reading.TextOf(words)}\"");
            case RepairKind.Delete:
                return new TextMend($"take {broken.Quoted(repair.Token)} out", false, reading.SpanOf(repair.Token), "");
            case RepairKind.Wrap:
                return new TextMend("put braces around it", false,
                [
                    new TextChange(new TextSpan(reading.SpanOf(repair.Token).Start, 0), "{ "),
                    new TextChange(new TextSpan(reading.SpanOf(repair.Token + repair.Count - 1).End, 0), " }"),
                ]);
            default:
                return null;
        }
    }
}
