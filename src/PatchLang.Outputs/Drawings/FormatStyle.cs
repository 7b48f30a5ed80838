using System.Collections.Immutable;
using PatchLang.Declarations;

namespace PatchLang.Outputs.Drawings;

/// <summary>What kind of signal a line carries; gives it a colour, in addition to its pattern and text.</summary>
public enum LineFamily
{
    /// <summary>Analogue sound.</summary>
    Analog,

    /// <summary>Digital audio, point to point.</summary>
    Digital,

    /// <summary>Digital audio over a switched network.</summary>
    Network,

    /// <summary>Clock only.</summary>
    Time,

    /// <summary>Not a link: inside a unit, or a clock that follows its host.</summary>
    Inside,
}

/// <summary>How lines of one format are drawn.</summary>
/// <param name="Name">The format's name; empty inside a unit.</param>
/// <param name="Title">Its standard, or a short description.</param>
/// <param name="Family">The kind of signal.</param>
/// <param name="Pattern">Its pattern, by number: 0 is a plain line; see <see cref="DashesOf"/>.</param>
public sealed record FormatStyle(string Name, string Title, LineFamily Family, int Pattern)
{
    /// <summary>The pattern number of a double line, which is used for networks.</summary>
    public const int Double = 100;

    private static readonly string[] Dashes =
        ["", "9 4", "2 4", "10 4 2 4", "16 4", "6 3 2 3 2 3", "4 4", "14 3 4 3", "1 3", "20 4 2 4 2 4", "7 7", "12 4 6 4"];

    /// <summary>The style for connections inside a unit.</summary>
    public static FormatStyle Inside { get; } = new("", "inside of a unit", LineFamily.Inside, 2);

    /// <summary>The lengths of dashes and gaps, as SVG writes them; empty for a solid line.</summary>
    public string DashesOf => IsDouble ? "" : Dashes[Pattern % Dashes.Length];

    /// <summary>Whether it is drawn as two lines side by side.</summary>
    public bool IsDouble => Pattern >= Double;
}

/// <summary>Assigns each format of a drawing its own pattern, in order of appearance.</summary>
internal sealed class FormatStyles
{
    private readonly Dictionary<FormatSymbol, FormatStyle> styles = new(ReferenceEqualityComparer.Instance);
    private readonly List<FormatStyle> inOrder = [];
    private int next = 1;

    /// <summary>The styles assigned so far, including the one for the inside of units if it was used.</summary>
    public ImmutableArray<FormatStyle> All => [.. inOrder];

    /// <summary>The style of a format; null stands for the inside of a unit.</summary>
    public FormatStyle Of(FormatSymbol? format)
    {
        if (format is null)
        {
            if (!inOrder.Contains(FormatStyle.Inside)) inOrder.Add(FormatStyle.Inside);
            return FormatStyle.Inside;
        }
        if (styles.TryGetValue(format, out var style)) return style;
        var family = FamilyOf(format);
        style = new FormatStyle(format.Name, format.Title ?? format.Name, family, NextPattern(family));
        styles.Add(format, style);
        inOrder.Add(style);
        return style;
    }

    /// <summary>The style in this drawing for a format of another drawing, matched by name.</summary>
    public FormatStyle Like(FormatStyle other)
    {
        if (inOrder.Find(s => s.Name == other.Name) is { } known) return known;
        var style = other.Family == LineFamily.Inside ? other : other with { Pattern = NextPattern(other.Family) };
        inOrder.Add(style);
        return style;
    }

    // Analogue lines are solid and networks double; every other format gets the next pattern of dashes.
    private int NextPattern(LineFamily family) => family switch
    {
        LineFamily.Analog when !inOrder.Exists(s => s is { Family: LineFamily.Analog, Pattern: 0 }) => 0,
        LineFamily.Network => FormatStyle.Double,
        _ => next++ is var dashes && dashes == FormatStyle.Inside.Pattern ? next++ : dashes,
    };

    private static LineFamily FamilyOf(FormatSymbol format) =>
        format.Joins == Joining.Switched ? LineFamily.Network
        : !format.IsDigital ? LineFamily.Analog
        : format.Name is "wordclock" or "aes11" ? LineFamily.Time
        : LineFamily.Digital;
}
