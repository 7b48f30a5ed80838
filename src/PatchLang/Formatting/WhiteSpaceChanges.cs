using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Formatting;

/// <summary>
/// Computes the edits between two texts that differ only in white space. The new text arrives in pieces and is not stored, since
/// most of a large file is unchanged.
/// </summary>
internal sealed class WhiteSpaceChanges(SourceText source)
{
    private const string WhiteSpace = " \t\r\n";

    private readonly ImmutableArray<TextEdit>.Builder edits = ImmutableArray.CreateBuilder<TextEdit>();

    // Text that has arrived but is not compared yet: the white space at the end of the last piece may continue in the next.
    private char[] held = new char[256];
    private int heldCount;

    // The position in the source up to which the texts have been compared.
    private int from;

    /// <summary>Adds the next piece of the new text.</summary>
    public void Add(ReadOnlySpan<char> piece)
    {
        if (heldCount + piece.Length > held.Length) Array.Resize(ref held, Math.Max(2 * held.Length, heldCount + piece.Length));
        piece.CopyTo(held.AsSpan(heldCount));
        heldCount += piece.Length;
        var end = held.AsSpan(0, heldCount).LastIndexOfAnyExcept(WhiteSpace) + 1;
        Compare(held.AsSpan(0, end), source.Content);
        held.AsSpan(end, heldCount - end).CopyTo(held);
        heldCount -= end;
    }

    /// <summary>All edits, in order, after the last piece.</summary>
    public ImmutableArray<TextEdit> Finish()
    {
        Compare(held.AsSpan(0, heldCount), source.Content);
        if (from < source.Length) Change(from + LengthOfWhiteSpace(source.Content.AsSpan(from)), "");
        if (from < source.Length) throw Broken();
        return edits.DrainToImmutable();
    }

    private void Compare(ReadOnlySpan<char> after, ReadOnlySpan<char> before)
    {
        while (true)
        {
            var same = before[from..].CommonPrefixLength(after);
            after = after[same..];
            from += same;
            if (after.IsEmpty) return;

            var (fromEnd, toEnd) = (from + LengthOfWhiteSpace(before[from..]), LengthOfWhiteSpace(after));
            // Keep a common end out of the edit, so that edits are minimal.
            while (fromEnd > from && toEnd > 0 && before[fromEnd - 1] == after[toEnd - 1]) (fromEnd, toEnd) = (fromEnd - 1, toEnd - 1);
            Change(fromEnd, after[..toEnd]);
            after = after[toEnd..];
        }
    }

    private void Change(int end, ReadOnlySpan<char> text)
    {
        if (end == from && text.IsEmpty) throw Broken();
        edits.Add(new TextEdit(source, TextSpan.FromTo(from, end), text.ToString()));
        from = end;
    }

    // A test ensures that this never happens.
    private static InvalidOperationException Broken() => new("Tidying changed more than white space.");

    private static int LengthOfWhiteSpace(ReadOnlySpan<char> text)
    {
        var length = text.IndexOfAnyExcept(WhiteSpace);
        return length < 0 ? text.Length : length;
    }
}
