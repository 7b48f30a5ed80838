using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>The mend for a priority 1 that was written at a unit and puts the plan's own order out: take it away.</summary>
internal static class WrittenPriorities
{
    /// <summary>One mend that takes all of theirs away; none where none is written.</summary>
    public static ImmutableArray<FixDraft> Without(IEnumerable<Clock> clocks)
    {
        var units = clocks.Select(c => c.Device.Unit).Where(u => u.Election.Priority1 is not null).Distinct().ToList();
        if (units.Count == 0) return [];
        var edits = units.Select(u => new EditDraft(Anchors.WithBlanksBefore(u.At(u.Settings["priority_1"]!.Span)), ""));
        return [new FixDraft($"leave {Findings.NameFindings.Listed([.. units.Select(u => u.Name)])} at the priority 1 that comes from the factory", false, [.. edits])];
    }
}
