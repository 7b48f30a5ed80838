using PatchLang.Declarations;

namespace PatchLang.Scripting.Model;

/// <summary>One performance of the day.</summary>
public sealed class Act : IPlaced
{
    private readonly Rig rig;

    internal Act(Rig rig, ActSymbol symbol) => (this.rig, Symbol) = (rig, symbol);

    internal ActSymbol Symbol { get; }

    internal ActSet Set => ActSet.Of(Symbol.Number);

    /// <inheritdoc/>
    public string Name => Symbol.Name;

    /// <summary>What it is called on paper; null where the plan gives no label.</summary>
    public string? Label => Symbol.Label;

    /// <summary>The time of this act alone.</summary>
    public During During => new(rig, Set);

    /// <summary>The act it comes after; null where the plan does not say.</summary>
    public Act? After => Symbol.After is { } after ? rig.Acts[after.Number] : null;

    /// <inheritdoc/>
    public Place Place => rig.PlaceOf(Symbol);

    /// <inheritdoc/>
    public override string ToString() => Name;
}
