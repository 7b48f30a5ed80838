using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>One line of a report: something to do, or to know.</summary>
/// <param name="Text">The line, as an order or a fact.</param>
/// <param name="Acts">The acts it holds in, by name; empty for all day.</param>
public sealed record ReportLine(string Text, ImmutableArray<string> Acts)
{
    /// <summary>Where the old plan says it; null where it does not.</summary>
    public Place? OldPlace { get; init; }

    /// <summary>Where the new plan says it; null where it does not.</summary>
    public Place? NewPlace { get; init; }
}

/// <summary>A step of the work, or a group of things to know.</summary>
/// <param name="Key">What programs tell it by; stays the same.</param>
/// <param name="Title">What people read.</param>
/// <param name="IsWork">Whether its lines are to be done and ticked off, or only to be known.</param>
/// <param name="Lines">The lines, in their order.</param>
public sealed record ReportSection(string Key, string Title, bool IsWork, ImmutableArray<ReportLine> Lines)
{
    /// <summary>The caution that stands before the lines; null where none is called for.</summary>
    public string? Caution { get; init; }
}

/// <summary>A comparison as people read it: what is called otherwise, what to do in which order, what is heard, what was found.</summary>
/// <param name="Sections">The sections, in the order of reading and of work.</param>
/// <param name="Remarks">What a reader must know of the plans: errors in them, and what is unknown for that.</param>
/// <param name="Summary">All of it in one sentence.</param>
public sealed record ChangeReport(ImmutableArray<ReportSection> Sections, ImmutableArray<string> Remarks, string Summary)
{
    /// <summary>The report of a comparison.</summary>
    public static ChangeReport Of(PlanChanges changes) => new WorkOrder(changes).Report();
}
