using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>Something that could not be resolved in one of the plans, and so is not compared.</summary>
/// <param name="Name">What it is.</param>
/// <param name="IsInNew">Whether it is in the new plan rather than the old one.</param>
/// <param name="Place">Its place in that plan.</param>
public sealed record Unknown(string Name, bool IsInNew, Place Place);

/// <summary>The differences in meaning between two plans; layout and comments don't count.</summary>
public sealed class PlanChanges
{
    internal PlanChanges(Compilation old, Compilation @new, ImmutableArray<PlanChange> changes, ImmutableArray<Unknown> unknown)
    {
        Old = old;
        New = @new;
        Changes = changes;
        Unknown = unknown;
    }

    /// <summary>The old plan.</summary>
    public Compilation Old { get; }

    /// <summary>The new plan.</summary>
    public Compilation New { get; }

    /// <summary>All differences, by kind, then by name in natural order.</summary>
    public ImmutableArray<PlanChange> Changes { get; }

    /// <summary>What could not be compared because of an error in one of the plans.</summary>
    public ImmutableArray<Unknown> Unknown { get; }

    /// <summary>Whether there is no difference.</summary>
    public bool AreNone => Changes.IsEmpty;

    /// <summary>Compares two plans.</summary>
    /// <param name="old">The old plan.</param>
    /// <param name="new">The new plan.</param>
    public static PlanChanges Between(Compilation old, Compilation @new) => new Comparer(old, @new).Compare();
}
