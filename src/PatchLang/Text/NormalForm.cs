using System.Text;

namespace PatchLang.Text;

/// <summary>
/// Unicode normalization form C, in which names are compared: an accented letter is the same whether typed as one character or
/// as a letter and a combining mark. .NET's own normalization does nothing in globalization-invariant mode, which is used here.
/// </summary>
/// <remarks>The tables, and their version of Unicode, are in the generated file beside this one; the algorithm is that of UAX #15.</remarks>
public static partial class NormalForm
{
    // Hangul syllables are composed by arithmetic (The Unicode Standard, section 3.12).
    private const int SyllableBase = 0xAC00;
    private const int LeadBase = 0x1100;
    private const int VowelBase = 0x1161;
    private const int TailBase = 0x11A7;
    private const int LeadCount = 19;
    private const int VowelCount = 21;
    private const int TailCount = 28;
    private const int SyllableCount = LeadCount * VowelCount * TailCount;

    // No character below it combines with one before it, or is the composition of others that do.
    private const char FirstCombining = '\u0300';

    /// <summary>The text in normal form C. An unpaired surrogate stays as it is.</summary>
    public static string Compose(ReadOnlySpan<char> text) =>
        IsPlain(text) ? text.ToString() : ComposeAny(text);

    /// <summary>Whether a text certainly is in normal form C, as most are; if not, it may still be.</summary>
    internal static bool IsPlain(ReadOnlySpan<char> text) => text.IndexOfAnyInRange(FirstCombining, '\uFFFF') < 0;

    private static string ComposeAny(ReadOnlySpan<char> text)
    {
        var points = new List<int>(text.Length + 8);
        for (var i = 0; i < text.Length; i++)
        {
            var isPair = char.IsHighSurrogate(text[i]) && i + 1 < text.Length && char.IsLowSurrogate(text[i + 1]);
            Decompose(isPair ? char.ConvertToUtf32(text[i], text[++i]) : text[i], points);
        }
        Order(points);
        Join(points);

        var composed = new StringBuilder(text.Length);
        foreach (var point in points)
        {
            if (point < 0x10000) composed.Append((char)point);
            else composed.Append(new Rune(point));
        }
        return composed.ToString();
    }

    private static void Decompose(int point, List<int> points)
    {
        if (point < 0xC0)
        {
            points.Add(point);
            return;
        }
        var syllable = point - SyllableBase;
        if (syllable is >= 0 and < SyllableCount)
        {
            points.Add(LeadBase + syllable / (VowelCount * TailCount));
            points.Add(VowelBase + syllable % (VowelCount * TailCount) / TailCount);
            if (syllable % TailCount > 0) points.Add(TailBase + syllable % TailCount);
            return;
        }
        var index = Decomposing.BinarySearch(point);
        if (index < 0)
        {
            points.Add(point);
            return;
        }
        // Only the first part of a decomposition can decompose further.
        Decompose(Parts[index * 2], points);
        if (Parts[index * 2 + 1] is var second and > 0) points.Add(second);
    }

    /// <summary>Sorts the marks on each letter by combining class; marks of the same class keep their order.</summary>
    private static void Order(List<int> points)
    {
        for (var start = 0; start < points.Count; start++)
        {
            if (ClassOf(points[start]) == 0) continue;
            var end = start + 1;
            while (end < points.Count && ClassOf(points[end]) != 0) end++;
            if (end - start > 1)
            {
                // Stable, and O(n log n) however many marks there are in a row.
                var ordered = points.GetRange(start, end - start).OrderBy(ClassOf).ToList();
                for (var i = start; i < end; i++) points[i] = ordered[i - start];
            }
            start = end;
        }
    }

    private static void Join(List<int> points)
    {
        var starter = -1;
        var lastClass = 0;
        var count = 0;
        for (var i = 0; i < points.Count; i++)
        {
            var point = points[i];
            var combining = ClassOf(point);
            // A mark is blocked from its letter by another letter, or by a mark of the same or a higher class.
            var isBlocked = count > starter + 1 && (lastClass == 0 || lastClass >= combining);
            if (starter >= 0 && !isBlocked && CompositeOf(points[starter], point) is var composite and > 0)
            {
                points[starter] = composite;
                continue;
            }
            if (combining == 0) starter = count;
            lastClass = combining;
            points[count++] = point;
        }
        points.RemoveRange(count, points.Count - count);
    }

    /// <summary>The composition of two code points; 0 if they don't compose.</summary>
    private static int CompositeOf(int first, int second)
    {
        var (lead, vowel) = (first - LeadBase, second - VowelBase);
        if (lead is >= 0 and < LeadCount && vowel is >= 0 and < VowelCount) return SyllableBase + (lead * VowelCount + vowel) * TailCount;
        var (syllable, tail) = (first - SyllableBase, second - TailBase);
        if (syllable is >= 0 and < SyllableCount && syllable % TailCount == 0 && tail is > 0 and < TailCount) return first + tail;
        var index = Pairs.BinarySearch(((long)first << 21) | (uint)second);
        return index < 0 ? 0 : Composites[index];
    }

    private static int ClassOf(int point)
    {
        if (point < FirstCombining) return 0;
        var index = Classes.BinarySearch((point << 8) | 0xFF);
        if (index < 0) index = ~index - 1;
        return index < 0 ? 0 : Classes[index] & 0xFF;
    }
}
