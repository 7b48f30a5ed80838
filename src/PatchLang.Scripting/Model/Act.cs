using PatchLang.Declarations;

namespace PatchLang.Scripting.Model;

/// <summary>An act: one performance of the day.</summary>
public sealed class Act : IPlaced
{
    private readonly Rig rig;

    internal Act(Rig rig, ActSymbol symbol) => (this.rig, Symbol) = (rig, symbol);

    internal ActSymbol Symbol { get; }

    internal ActSet Set => ActSet.Of(Symbol.Number);

    /// <inheritdoc/>
    public string Name => Symbol.Name;

    /// <summary>Its label; null if the plan gives none.</summary>
    public string? Label => Symbol.Label;

    /// <summary>The time of this act.</summary>
    public During During => new(rig, Set);

    /// <summary>The act it follows; null if not stated.</summary>
    public Act? After => Symbol.After is { } after ? rig.Acts[after.Number] : null;

    /// <inheritdoc/>
    public Place Place => rig.PlaceOf(Symbol);

    /// <inheritdoc/>
    public override string ToString() => Name;
}
