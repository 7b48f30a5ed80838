namespace PatchLang.Outputs;

/// <summary>
/// Natural sort order for names with numbers: <c>mic[2]</c> before <c>mic[10]</c>. Runs of the digits 0 to 9 compare by value, all else
/// by code unit, whatever the machine's language, so that the same plan gives the same sheet everywhere.
/// </summary>
public sealed class NaturalOrder : IComparer<string>
{
    private NaturalOrder()
    {
    }

    /// <summary>The one instance.</summary>
    public static NaturalOrder Instance { get; } = new();

    /// <inheritdoc/>
    public int Compare(string? x, string? y)
    {
        if (x is null || y is null) return (x is null ? 0 : 1) - (y is null ? 0 : 1);
        var (i, j) = (0, 0);
        while (i < x.Length && j < y.Length)
        {
            var order = char.IsAsciiDigit(x[i]) && char.IsAsciiDigit(y[j])
                ? CompareNumbers(NumberAt(x, ref i), NumberAt(y, ref j))
                : x[i++].CompareTo(y[j++]);
            if (order != 0) return order;
        }
        var rest = (x.Length - i).CompareTo(y.Length - j);
        return rest != 0 ? rest : string.CompareOrdinal(x, y); // `a01` and `a1` are two names, so they must not compare as equal
    }

    /// <summary>The digits of a number without leading zeros; moves the position past them.</summary>
    private static ReadOnlySpan<char> NumberAt(string text, ref int position)
    {
        var start = position;
        while (position < text.Length && char.IsAsciiDigit(text[position])) position++;
        return text.AsSpan(start, position - start).TrimStart('0');
    }

    private static int CompareNumbers(ReadOnlySpan<char> left, ReadOnlySpan<char> right) =>
        left.Length != right.Length ? left.Length.CompareTo(right.Length) : left.SequenceCompareTo(right);
}
