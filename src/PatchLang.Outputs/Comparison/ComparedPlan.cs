using System.Globalization;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Outputs.Comparison;

/// <summary>How to refer to one of two compared plans.</summary>
/// <param name="Name">Its path, with the revision if it has one.</param>
/// <param name="PathOf">The path of one of its files, as the reader would type it.</param>
public sealed record ComparedPlan(string Name, Func<SourceText, string> PathOf)
{
    /// <summary>The file and line of a place.</summary>
    public string LineOf(Place place) =>
        string.Create(CultureInfo.InvariantCulture, $"{PathOf(place.Source)}:{place.Source.PositionOf(place.Span.Start).Line + 1}");
}

/// <summary>The two plans that a report is about.</summary>
/// <param name="Old">The old plan.</param>
/// <param name="New">The new plan.</param>
public sealed record ComparedPlans(ComparedPlan Old, ComparedPlan New)
{
    /// <summary>The places of a line: in the new plan, and in the old one if they differ; empty if it is in neither.</summary>
    public string WhereOf(ReportLine line)
    {
        if (line.NewPlace is not { } now) return line.OldPlace is { } gone ? $"was {Old.LineOf(gone)}" : "";
        return line.OldPlace is not { } was || IsSame(was, now) ? New.LineOf(now) : $"{New.LineOf(now)}, was {Old.LineOf(was)}";
    }

    /// <summary>Whether both are the same line of the same file, whatever folders the plans are in.</summary>
    private static bool IsSame(Place was, Place now) =>
        was.Source.Path == now.Source.Path && was.Source.PositionOf(was.Span.Start).Line == now.Source.PositionOf(now.Span.Start).Line;

    /// <summary>The acts of a line in words; empty for all day.</summary>
    public static string During(ReportLine line) => line.Acts.IsEmpty ? "" : $"during {string.Join(", ", line.Acts)}";
}
