using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>The fix for a priority 1 written at a unit that upsets the plan's intended order: remove it.</summary>
internal static class WrittenPriorities
{
    /// <summary>One fix that removes the written priorities of all these clocks; none where none is written.</summary>
    public static ImmutableArray<FixDraft> Without(IEnumerable<Clock> clocks)
    {
        var units = clocks.Select(c => c.Device.Unit).Where(u => u.Election.Priority1 is not null).Distinct().ToList();
        if (units.Count == 0) return [];
        var edits = units.Select(u => new EditDraft(Anchors.WithBlanksBefore(u.At(u.Settings["priority_1"]!.Span)), ""));
        return [new FixDraft($"leave {Findings.NameFindings.Listed([.. units.Select(u => u.Name)])} at the priority 1 that comes from the factory", false, [.. edits])];
    }
}
