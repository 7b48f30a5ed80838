using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>One line of a report: something to do, or something to know.</summary>
/// <param name="Text">The line, as an instruction or a statement.</param>
/// <param name="Acts">The acts it applies in, by name; empty for all day.</param>
public sealed record ReportLine(string Text, ImmutableArray<string> Acts)
{
    /// <summary>Its place in the old plan; null if there is none.</summary>
    public Place? OldPlace { get; init; }

    /// <summary>Its place in the new plan; null if there is none.</summary>
    public Place? NewPlace { get; init; }
}

/// <summary>A step of the work, or a group of things to know.</summary>
/// <param name="Key">A stable identifier for programs.</param>
/// <param name="Title">The title for people.</param>
/// <param name="IsWork">Whether its lines are tasks to tick off, rather than information.</param>
/// <param name="Lines">The lines, in their order.</param>
public sealed record ReportSection(string Key, string Title, bool IsWork, ImmutableArray<ReportLine> Lines)
{
    /// <summary>A caution to show before the lines; null for none.</summary>
    public string? Caution { get; init; }
}

/// <summary>
/// A comparison for people to read: what is renamed, what to do in which order, what listeners will hear differently, and which findings changed.
/// </summary>
/// <param name="Sections">The sections, in the order of reading and of work.</param>
/// <param name="Remarks">What a reader must know of the plans: that they have errors, and what is unknown because of them.</param>
/// <param name="Summary">All of it in one sentence.</param>
public sealed record ChangeReport(ImmutableArray<ReportSection> Sections, ImmutableArray<string> Remarks, string Summary)
{
    /// <summary>The report of a comparison.</summary>
    public static ChangeReport Of(PlanChanges changes) => new WorkOrder(changes).Report();
}
