using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>
/// The labels of a unit or feed. Nearly all of these have labels, but checks never need them as strings: only their span is
/// stored, and the strings are made on demand.
/// </summary>
/// <param name="span">The span of the labels in the statement; empty if there are none.</param>
internal struct LabelTexts(TextSpan span)
{
    // Random for each process, so that nobody can write a plan whose keys all collide.
    private static readonly ulong Secret = (ulong)Random.Shared.NextInt64();

    private readonly TextSpan span = span;
    private string[]? texts;

    /// <summary>The labels, unescaped.</summary>
    public ImmutableArray<string> Of(Statement statement) =>
        span.Length == 0 ? [] : ImmutableCollectionsMarshal.AsImmutableArray(texts ??= Read(statement));

    /// <summary>Adds the labels to a set, and returns whether one of them may already have been in it. Empty labels do not count.</summary>
    /// <param name="statement">The statement that contains them.</param>
    /// <param name="seen">A hash of each label seen: equal labels have equal hashes, and different ones hardly ever.</param>
    public readonly bool MayRepeat(Statement statement, HashSet<ulong> seen)
    {
        if (span.Length == 0) return false;
        var written = Written(statement);
        if (IsOnePlain(written)) return span.Length > 2 && !seen.Add(KeyOf(written[1..^1]));
        var mayRepeat = false;
        for (var at = 0; Scanner.Next(written, ref at, out var kind, out var start);)
        {
            if (kind != TokenKind.String) continue;
            var label = written[(start + 1)..(at - 1)];
            if (label.Contains('\\')) label = Reading.Unquoted(written[start..at]);
            if (label.Length > 0) mayRepeat |= !seen.Add(KeyOf(label));
        }
        return mayRepeat;
    }

    private readonly ReadOnlySpan<char> Written(Statement statement) => statement.Text.Span.Slice(span.Start, span.Length);

    /// <summary>Whether it is a single label without escapes, as most are.</summary>
    private static bool IsOnePlain(ReadOnlySpan<char> written) => written is ['"', .. var inner, '"'] && inner.IndexOfAny('"', '\\') < 0;

    private readonly string[] Read(Statement statement)
    {
        var written = Written(statement);
        if (IsOnePlain(written)) return [written[1..^1].ToString()];
        var found = new List<string>();
        for (var at = 0; Scanner.Next(written, ref at, out var kind, out var start);)
            if (kind == TokenKind.String) found.Add(Reading.Unquoted(written[start..at]));
        return [.. found];
    }

    private static ulong KeyOf(ReadOnlySpan<char> text)
    {
        var key = Secret ^ (ulong)text.Length;
        foreach (var four in MemoryMarshal.Cast<char, ulong>(text)) key = Mix(key ^ four);
        for (var i = text.Length & ~3; i < text.Length; i++) key = Mix(key ^ text[i]);
        return key;

        static ulong Mix(ulong number)
        {
            number *= 0x9E3779B97F4A7C15;
            return number ^ (number >> 32);
        }
    }
}
