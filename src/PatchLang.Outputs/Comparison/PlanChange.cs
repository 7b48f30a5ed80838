using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>One difference between the plans.</summary>
/// <param name="Kind">What kind of thing it is about.</param>
/// <param name="Subject">Its name in the new plan; or in the old one, if it is only there.</param>
/// <param name="Was">The old value; null if there was none.</param>
/// <param name="Now">The new value; null if it is gone.</param>
public sealed record PlanChange(ChangeKind Kind, string Subject, string? Was, string? Now)
{
    /// <summary>What about the subject differs: a setting's name, a network, a member of a mix; empty if there is only one thing.</summary>
    public string Aspect { get; init; } = "";

    /// <summary>The titles of the signals it concerns; empty if it concerns none, or many.</summary>
    public ImmutableArray<string> Signals { get; init; } = [];

    /// <summary>The signals as one text.</summary>
    public string Signal => string.Join(", ", Signals);

    /// <summary>The unit at which the change is made; empty for none.</summary>
    public string Unit { get; init; } = "";

    /// <summary>The acts it applies in, by name; empty for all day.</summary>
    public ImmutableArray<string> Acts { get; init; } = [];

    /// <summary>Its place in the old plan; null if there is none.</summary>
    public Place? OldPlace { get; init; }

    /// <summary>Its place in the new plan; null if there is none.</summary>
    public Place? NewPlace { get; init; }

    /// <summary>Inputs whose phantom power must be switched off before this is touched.</summary>
    public ImmutableArray<string> PhantomBefore { get; init; } = [];

    /// <summary>Inputs whose phantom power must be switched on after this is done.</summary>
    public ImmutableArray<string> PhantomAfter { get; init; } = [];

    /// <summary>Whether it is new.</summary>
    public bool IsAdded => Was is null;

    /// <summary>Whether it is gone.</summary>
    public bool IsRemoved => Now is null;
}
