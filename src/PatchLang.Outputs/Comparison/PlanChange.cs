using System.Collections.Immutable;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>One thing that is another in the new plan.</summary>
/// <param name="Kind">What sort of thing.</param>
/// <param name="Subject">What it is about, as the new plan names it; what only the old plan has, as that one does.</param>
/// <param name="Was">What it was; null where there was none.</param>
/// <param name="Now">What it is to be; null where there is none any more.</param>
public sealed record PlanChange(ChangeKind Kind, string Subject, string? Was, string? Now)
{
    /// <summary>Which side of the subject: a setting's name, a network, a member of a mix; empty where it has but one.</summary>
    public string Aspect { get; init; } = "";

    /// <summary>The signals it concerns, by what people call them; empty where it concerns none, or many at once.</summary>
    public ImmutableArray<string> Signals { get; init; } = [];

    /// <summary>The signals in one line.</summary>
    public string Signal => string.Join(", ", Signals);

    /// <summary>The unit at which it is done; empty where it is done nowhere.</summary>
    public string Unit { get; init; } = "";

    /// <summary>The acts it holds in, by name; empty for all day.</summary>
    public ImmutableArray<string> Acts { get; init; } = [];

    /// <summary>Where the old plan says it; null where it does not.</summary>
    public Place? OldPlace { get; init; }

    /// <summary>Where the new plan says it; null where it does not.</summary>
    public Place? NewPlace { get; init; }

    /// <summary>Inputs at which phantom power has to go off before this is touched; empty where it carries none.</summary>
    public ImmutableArray<string> PhantomBefore { get; init; } = [];

    /// <summary>Inputs at which phantom power has to come on after this is done.</summary>
    public ImmutableArray<string> PhantomAfter { get; init; } = [];

    /// <summary>Whether it came: the old plan had none.</summary>
    public bool IsAdded => Was is null;

    /// <summary>Whether it went: the new plan has none.</summary>
    public bool IsRemoved => Now is null;
}
