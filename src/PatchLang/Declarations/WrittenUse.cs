using System.Buffers;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>What a <c>use</c> in a file's text names. One with a slip is read from its line, as far as it is clear what it names.</summary>
/// <param name="Statement">The statement it is in. One that lost its opening word may be in the statement above.</param>
/// <param name="Written">The path, without its quotes; null if it is unclear.</param>
/// <param name="Span">The span of the path in the statement, without its quotes.</param>
/// <param name="Prefix">The prefix; null if there is none.</param>
/// <param name="PrefixSpan">The span of the prefix in the statement.</param>
/// <param name="IsSlip">Whether it was read from its line, because the statement has a syntax error, which is told elsewhere.</param>
internal readonly record struct WrittenUse(Statement Statement, string? Written, TextSpan Span, string? Prefix, TextSpan PrefixSpan, bool IsSlip)
{
    private const string Keyword = "use";
    private const string Ending = ".rig";
    private const string Openings = " \t\"'“”„‘’«»`:=(<[{,;";
    private const string Closings = " \t\"'“”„‘’«»`)>]},;.";
    private static readonly SearchValues<char> Quotes = SearchValues.Create("\"'“”„‘’«»`");

    /// <summary>The uses in a file, in order.</summary>
    public static List<WrittenUse> AllIn(SyntaxTree tree)
    {
        var uses = new List<WrittenUse>();
        for (var i = 0; i < tree.Count; i++)
        {
            var statement = tree[i];
            if (statement.Kind == NodeKind.Use && statement.Shape.IsRead) uses.Add(OfTokens(statement));
            // The library has no errors, and its gear is not parsed before it is needed.
            else if (!tree.Source.IsLibrary && !statement.Shape.IsRead) AddSlips(tree, i, uses);
        }
        return uses;
    }

    private static WrittenUse OfTokens(Statement statement)
    {
        using var reading = statement.Read();
        var token = reading.Root.TokenOf(TokenKind.String);
        var prefix = reading.Root.Child(NodeKind.Name);
        var span = token < 0 ? default : reading.SpanOf(token);
        return new WrittenUse(
            statement, token < 0 ? null : reading.Quoted(token), token < 0 ? default : new TextSpan(span.Start + 1, span.Length - 2),
            prefix.HasText ? prefix.Name() : null, prefix.Span, IsSlip: false);
    }

    /// <summary>Reads the lines of a statement with a syntax error.</summary>
    private static void AddSlips(SyntaxTree tree, int index, List<WrittenUse> uses)
    {
        var statement = tree[index];
        var isUse = statement.Kind == NodeKind.Use;
        // What begins as another statement may have a misspelt `use` below it.
        var isOther = !isUse && statement.Kind != NodeKind.Statement;
        if (!isUse && !statement.Text.Span.Contains(Ending, StringComparison.Ordinal)) return;
        var (known, clear) = (uses.Count, true);
        var content = tree.Source.Content.AsSpan();
        var (start, end) = (tree.StartOf(index), EndOf(tree, index));
        for (var at = start; at < end;)
        {
            var rest = content[at..end];
            var length = rest.IndexOfAny('\r', '\n') is var gap and >= 0 ? gap : rest.Length;
            if (OfLine(statement, rest[..length], at - start, isOther) is { } use) uses.Add(use);
            else if (!rest[..length].IsWhiteSpace() && !rest.TrimStart().StartsWith("//", StringComparison.Ordinal)) clear = false;
            at += length + 1;
        }
        if (isOther || (clear && uses.Count > known)) return;
        uses.RemoveRange(known, uses.Count - known);
        if (isUse) uses.Add(OfTokens(statement));
    }

    /// <summary>Where the last token of a statement ends; if a word of an unquoted path cut it in two, where its line ends.</summary>
    private static int EndOf(SyntaxTree tree, int index)
    {
        var (statement, start) = (tree[index], tree.StartOf(index));
        using var reading = statement.Read();
        var end = start + (reading.TokenCount > 0 ? reading.SpanOf(reading.TokenCount - 1).End : 0);
        if (index + 1 >= tree.Count || !ReservedNames.IsContinuation(statement, tree[index + 1])) return end;
        return tree.Source.Content.AsSpan(end).IndexOfAny('\r', '\n') is var line and >= 0 ? end + line : tree.Source.Length;
    }

    /// <summary>Reads one line; null if it is no clear <c>use</c>.</summary>
    private static WrittenUse? OfLine(Statement statement, ReadOnlySpan<char> line, int start, bool isOther)
    {
        if (line.IndexOf(" //", StringComparison.Ordinal) is var remark and >= 0) line = line[..remark];
        var at = line.IndexOfAnyExcept(" \t") is var first and >= 0 ? first : line.Length;
        var wordEnd = at;
        while (wordEnd < line.Length && char.IsLetter(line[wordEnd])) wordEnd++;
        var word = line[at..wordEnd];
        var isKeyword = wordEnd < line.Length && Openings.Contains(line[wordEnd], StringComparison.Ordinal) && (word is Keyword || Nearest.To(word, [Keyword]) is not null);
        var isFolder = wordEnd < line.Length && line[wordEnd] is '/' or '.';
        if (!isKeyword && (isOther || (!word.IsEmpty && !isFolder && (word.Length == line.Length - at || Words.KindOf(word).IsOpener())))) return null;
        if (isKeyword || !isFolder) at = wordEnd;
        // The path: up to its closing quote, or else to the next space.
        while (at < line.Length && Openings.Contains(line[at], StringComparison.Ordinal)) at++;
        var isQuoted = at > 0 && Quotes.Contains(line[at - 1]) && line[at..].IndexOfAny(Quotes) >= 0;
        var end = (isQuoted ? line[at..].IndexOfAny(Quotes) : line[at..].IndexOfAny(' ', '\t')) is var length and >= 0 ? at + length : line.Length;
        var path = line[at..end].TrimEnd(Closings);
        if (path.IsEmpty || path.IndexOfAny(Quotes) >= 0 || (!isKeyword && !path.EndsWith(Ending, StringComparison.Ordinal))) return null;
        var use = new WrittenUse(statement, path.ToString(), new TextSpan(start + at, path.Length), null, default, IsSlip: true);
        // Behind it, only a prefix is clear.
        var tail = line[end..];
        while (!tail.IsEmpty && Closings.Contains(tail[0], StringComparison.Ordinal)) tail = tail[1..];
        if (tail.IsEmpty) return use;
        if (!tail.StartsWith("as ", StringComparison.Ordinal)) return null;
        var name = tail[3..].Trim(Closings);
        if (name.IsEmpty || NameCharacters.EndOfName(name.ToString(), 0) != name.Length) return null;
        return use with { Prefix = NormalForm.Compose(name), PrefixSpan = new TextSpan(start + line.LastIndexOf(name), name.Length) };
    }
}
