using PatchLang.Declarations;

namespace PatchLang.Scripting.Model;

/// <summary>A kind of equipment, as a <c>gear</c> or <c>card</c> statement declares it. Units of the same gear share one object.</summary>
public sealed class Gear : IPlaced
{
    private readonly Rig rig;

    internal Gear(Rig rig, GearSymbol symbol) => (this.rig, Symbol) = (rig, symbol);

    internal GearSymbol Symbol { get; }

    /// <inheritdoc/>
    public string Name => Symbol.Name;

    /// <summary>A short description; null if it has none.</summary>
    public string? Title => Symbol.Title;

    /// <summary>Whether it is a card, which sits in a slot of other gear.</summary>
    public bool IsCard => Symbol.IsCard;

    /// <summary>The units of the plan with this gear.</summary>
    public IEnumerable<Unit> Units => rig.Everything.Where(u => u.Gear == this);

    /// <summary>Where it is declared: usually in the library, which can't be changed.</summary>
    public Place Place => rig.PlaceOf(Symbol);

    /// <inheritdoc/>
    public override string ToString() => Name;
}
