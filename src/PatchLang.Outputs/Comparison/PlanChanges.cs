using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>Something that could not be made out in one of the plans, and so is not compared.</summary>
/// <param name="Name">What it is.</param>
/// <param name="IsInNew">Whether the new plan has it, or the old one.</param>
/// <param name="Place">Where that plan says it.</param>
public sealed record Unknown(string Name, bool IsInNew, Place Place);

/// <summary>What one plan has that another has not, by meaning: what its text looks like does not count.</summary>
public sealed class PlanChanges
{
    internal PlanChanges(Compilation old, Compilation @new, ImmutableArray<PlanChange> changes, ImmutableArray<Unknown> unknown)
    {
        Old = old;
        New = @new;
        Changes = changes;
        Unknown = unknown;
    }

    /// <summary>The plan as it was.</summary>
    public Compilation Old { get; }

    /// <summary>The plan as it is to be.</summary>
    public Compilation New { get; }

    /// <summary>Everything that differs, by kind and name, in the order in which people read names.</summary>
    public ImmutableArray<PlanChange> Changes { get; }

    /// <summary>What could not be compared, since an error in one of the plans stands before it.</summary>
    public ImmutableArray<Unknown> Unknown { get; }

    /// <summary>Whether nothing differs.</summary>
    public bool AreNone => Changes.IsEmpty;

    /// <summary>Compares two plans.</summary>
    /// <param name="old">The plan as it was.</param>
    /// <param name="new">The plan as it is to be.</param>
    public static PlanChanges Between(Compilation old, Compilation @new) => new Comparer(old, @new).Compare();
}
