using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>
/// Diagnoses a statement with syntax errors, aiming at one finding per mistake: errors that follow from an earlier one are dropped.
/// A second mistake is reported only if it is on a separate line inside braces.
/// </summary>
internal sealed class BrokenStatement
{
    private readonly List<TextProblem> problems = [];
    private readonly List<int> told = [];

    private BrokenStatement(Statement? previous, Statement statement, Statement? next, StatementReading reading)
    {
        Previous = previous;
        Statement = statement;
        Next = next;
        Reading = reading;
    }

    public Statement? Previous { get; }

    public Statement Statement { get; }

    public Statement? Next { get; }

    public StatementReading Reading { get; }

    public Shape Shape => Statement.Shape;

    public int TokenCount => Reading.TokenCount;

    public bool IsLine => Statement.Kind == NodeKind.Statement;

    /// <summary>The problems of a statement, given the statements beside it, in text order.</summary>
    public static ImmutableArray<TextProblem> ProblemsOf(Statement? previous, Statement statement, Statement? next)
    {
        var found = Find(previous, statement, next);
        return [.. found.Select(p => p with { Mends = [.. p.Mends.Select(m => m.IsSafe && !IsSafe(m) ? m with { IsSafe = false } : m)] })];

        // A fix that is applied without asking must leave the statement with fewer problems, and with no new ones.
        bool IsSafe(TextMend mend)
        {
            // The quotes of a path may end in the next statement, when a reserved word in the path cut it in two.
            if (mend.Changes[^1].Span.End > statement.Text.Length) return true;
            var mended = Mended(statement, mend.Changes.AsSpan());
            if (mended.Shape.IsRead || mended.Shape.Tokens.IsEmpty) return true;
            var left = Find(previous, mended, next);
            return left.Count < found.Count && left.All(l => found.Exists(p => p.Message == l.Message));
        }
    }

    private static List<TextProblem> Find(Statement? previous, Statement statement, Statement? next)
    {
        using var reading = statement.Read();
        var broken = new BrokenStatement(previous, statement, next, reading);
        broken.Tell();
        return [.. broken.problems.OrderBy(p => p.Span.Start)];
    }

    private static Statement Mended(Statement statement, ReadOnlySpan<TextChange> changes)
    {
        var text = TextMend.Apply(statement.Text.Span, changes);
        var tokens = new TokenBuffer();
        tokens.Scan(text);
        return new Statement(text.AsMemory(), tokens.Count < Statement.MostTokens ? Repairs.Parse(tokens.Kinds) : Shape.TooLong);
    }

    /// <summary>Reports a problem at a token.</summary>
    public void Add(int token, TextProblem problem)
    {
        told.Add(token);
        problems.Add(problem);
    }

    public void Add(int token, FindingMessage message) => Add(token, new TextProblem(message, Reading.SpanOf(token)));

    /// <summary>The kind of a token; <see cref="TokenKind.None"/> if the index is out of range.</summary>
    public TokenKind KindOf(int token) => token < 0 ? TokenKind.None : Reading.KindOf(token);

    /// <summary>The text of a token.</summary>
    public string TextOf(int token) => Reading.TextOf(token).ToString();

    /// <summary>A token's text as quoted in a message.</summary>
    public string Quoted(int token) => Quoted(Reading.TextOf(token));

    /// <summary>A piece of text as quoted in a message: its first line, at most 40 characters.</summary>
    public static string Quoted(ReadOnlySpan<char> text)
    {
        const int most = 40;
        var line = text.IndexOfAny('\r', '\n') is var end and >= 0 ? text[..end] : text;
        if (line.Length > most) line = line[..(most - (char.IsHighSurrogate(line[most - 1]) ? 1 : 0))];
        return line.Length < text.Length ? $"`{line}…`" : $"`{line}`";
    }

    /// <summary>Whether a token follows the one before it without a gap.</summary>
    public bool IsGlued(int token) =>
        token > 0 && token < TokenCount && Reading.SpanOf(token - 1).End == Reading.SpanOf(token).Start;

    /// <summary>Whether a token is the first on its line.</summary>
    public bool IsFirstOnLine(int token) =>
        token == 0 || Reading.TextOf(TextSpan.FromTo(Reading.SpanOf(token - 1).End, Reading.SpanOf(token).Start)).ContainsAny('\r', '\n');

    /// <summary>The first token on a token's line.</summary>
    public int LineStartOf(int token)
    {
        token = Math.Min(token, TokenCount - 1);
        while (token > 0 && !IsFirstOnLine(token)) token--;
        return Math.Max(token, 0);
    }

    /// <summary>Whether the statement parses without errors after these changes.</summary>
    public bool IsReadWith(params ReadOnlySpan<TextChange> changes) => Mended(Statement, changes).Shape.IsRead;

    private void Tell()
    {
        if (ReferenceEquals(Shape, Shape.TooLong))
        {
            Add(0, TextFindings.TooLong(Statement.MostTokens));
            return;
        }
        if (ReservedNames.IsContinuation(Previous, Statement))
        {
            if (!ReservedNames.IsInUnquoted(Previous)) ReservedNames.TellOpener(this);
            return;
        }
        OpenTexts.TellComment(this);
        if (IsLine)
        {
            UnreadableLines.Tell(this);
            return;
        }
        if (UnexpectedText.TellUnquoted(this)) return;
        OpenTexts.TellTexts(this);
        StrayCharacters.Tell(this);
        for (var i = 0; i < Shape.Errors.Length; i++)
            if (IsMistakeOfItsOwn(Shape.Errors[i])) Tell(i);
    }

    private void Tell(int number)
    {
        if (ReservedNames.Tell(this, number)
            || OtherSpellings.TellTap(this, number)
            || MalformedWords.Tell(this, number)
            || MissingUnits.Tell(this, number)
            || OtherSpellings.Tell(this, number)
            || OtherWords.Tell(this, number)) return;
        UnexpectedText.Tell(this, number);
    }

    private bool IsMistakeOfItsOwn(ShapeError error)
    {
        // What is missing here may well be inside the open comment.
        if (KindOf(error.Token) == TokenKind.OpenBlock || (error.Token == TokenCount && KindOf(TokenCount - 1) == TokenKind.OpenBlock)) return false;
        if (told.Count == 0) return true;
        // A statement this long was written by a program and is fixed there: its first mistake is enough.
        if (TokenCount > Repairs.MostTokens) return false;
        var last = told.Max();
        var line = LineOf(error);
        return line > last && LineStartOf(line) > last;
    }

    /// <summary>The first token of the line inside braces that an error belongs to; −1 if there is no such line.</summary>
    private int LineOf(ShapeError error)
    {
        if (error.Rule == NodeKind.Plan) return -1;
        for (var node = error.Node; node > 0; node = Shape.ParentOf(node))
            if (Shape.Nodes[node].Kind is NodeKind.GearSetting or NodeKind.FormatSetting or NodeKind.NetworkSetting or NodeKind.Setting)
                return Shape.Nodes[node].FirstToken;
        return -1;
    }
}
