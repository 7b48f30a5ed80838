namespace PatchLang.Text;

/// <summary>A span of text, in UTF-16 units.</summary>
public readonly record struct TextSpan(int Start, int Length)
{
    /// <summary>The position after the last unit.</summary>
    public int End => Start + Length;

    /// <summary>The span from <paramref name="start"/> up to, not including, <paramref name="end"/>.</summary>
    public static TextSpan FromTo(int start, int end) => new(start, end - start);

    /// <summary>Whether <paramref name="other"/> lies wholly inside this span.</summary>
    public bool Contains(TextSpan other) => other.Start >= Start && other.End <= End;

    /// <summary>The same span, moved by <paramref name="offset"/>.</summary>
    public TextSpan Moved(int offset) => new(Start + offset, Length);

    /// <summary>The smallest span that contains both.</summary>
    public TextSpan To(TextSpan other) => FromTo(Math.Min(Start, other.Start), Math.Max(End, other.End));
}

/// <summary>Replaces <paramref name="Span"/> of a text with <paramref name="NewText"/>.</summary>
public readonly record struct TextChange(TextSpan Span, string NewText);
