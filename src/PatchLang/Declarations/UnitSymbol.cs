using System.Collections.Immutable;
using PatchLang.Physics;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A unit: one piece of equipment in this rig, or several equal ones.</summary>
public sealed class UnitSymbol : Symbol
{
    private LabelTexts labels;
    private Seldom? seldom;

    internal UnitSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan)
        : base(file, statement, name, nameSpan)
    {
    }

    /// <summary>Its index among the plan's units; −1 if it lost its name to another.</summary>
    internal int Number { get; set; } = -1;

    /// <summary>Its elements, one for each piece.</summary>
    public Elements Elements { get; private set; } = Elements.One;

    /// <summary>The labels in the sheets: one for all pieces, or one each.</summary>
    public ImmutableArray<string> Labels => labels.Of(Statement);

    /// <summary>Its own sample rate, in Hz; null if it uses the plan's.</summary>
    public double? Rate => seldom?.Rate;

    /// <summary>Its settings: cards in its slots, its place, notes.</summary>
    public SettingTable Settings { get; private set; } = SettingTable.Empty;

    /// <summary>The figures set at the unit for the election of a network's leader.</summary>
    public ElectionFigures Election => seldom?.Election ?? ElectionFigures.None;

    /// <summary>The identity of its clock on a network; null if not written.</summary>
    public ClockIdentity? ClockIdentity => seldom?.ClockIdentity;

    internal ReferenceExpression? Gear { get; private set; }

    internal ImmutableArray<int> Arguments { get; private set; } = [];

    internal TextSpan ArgumentsSpan { get; private set; }

    /// <summary>The key (see <see cref="Draft.Explains"/>) for a unit whose number of elements is not the intended one.</summary>
    internal string CountOfRow => $"how many there are of {Name}";

    internal ImmutableArray<FittedCard> Cards => seldom?.Cards ?? [];

    internal static UnitSymbol? Read(PlanFile file, Statement statement)
    {
        using var reading = statement.ReadAsMeant();
        var root = reading.Root;
        if (root.Child(NodeKind.Name) is not { IsName: true } name) return null;
        var unit = new UnitSymbol(file, statement, name.Name(), name.Span);
        foreach (var piece in root.Children) unit.Take(piece);
        return unit;
    }

    private void Take(SyntaxNode piece)
    {
        switch (piece.Kind)
        {
            case NodeKind.Index when Index is null:
                if (piece.AsIndex() is { } index) (Rare.Index, Elements) = (index, index.Declared);
                break;
            case NodeKind.Labels:
                labels = new LabelTexts(piece.Span);
                break;
            case NodeKind.Reference:
                Gear = piece.AsReference();
                break;
            case NodeKind.Arguments:
                Arguments = piece.AsArguments();
                ArgumentsSpan = piece.Span;
                break;
            case NodeKind.Quantity:
                Rare.Rate = piece.AsQuantity() is { Measure: Measure.Frequency } rate ? rate.Value : null;
                Rare.RateSpan = piece.Span;
                break;
            case NodeKind.Settings:
                Settings = SettingTable.Of(piece, NodeKind.Setting);
                if (ElectionFigures.Of(Settings) is var election && election != ElectionFigures.None) Rare.Election = election;
                if (Settings["identity"]?.Text is { } identity) Rare.ClockIdentity = Physics.ClockIdentity.Parse(identity);
                if (CardsIn(piece) is { IsEmpty: false } cards) Rare.Cards = cards;
                break;
            case NodeKind.During:
                if (piece.AsDuring() is { } during) Rare.During = during;
                break;
        }
    }

    private static ImmutableArray<FittedCard> CardsIn(SyntaxNode settings)
    {
        ImmutableArray<FittedCard> cards = [];
        foreach (var setting in settings.ChildrenOf(NodeKind.Setting))
        {
            var value = setting.Child(NodeKind.Value);
            if (value.Child(NodeKind.Reference).AsReference() is { } card && setting.Child(NodeKind.SettingName) is { HasText: true } slot)
                cards = cards.Add(new FittedCard(slot.Name(), slot.Span, card, value.Child(NodeKind.Arguments).AsArguments(), value.Span));
        }
        return cards;
    }

    /// <summary>Adds its labels to a set, and returns whether one of them may already have been in it.</summary>
    internal bool MayRepeatLabel(HashSet<ulong> seen) => labels.MayRepeat(Statement, seen);

    internal IndexExpression? Index => seldom?.Index;

    internal TextSpan RateSpan => seldom?.RateSpan ?? default;

    internal DuringExpression? During => seldom?.During;

    private Seldom Rare => seldom ??= new Seldom();

    /// <summary>Data that few units have.</summary>
    private sealed class Seldom
    {
        public IndexExpression? Index { get; set; }

        public double? Rate { get; set; }

        public TextSpan RateSpan { get; set; }

        public ElectionFigures Election { get; set; } = ElectionFigures.None;

        public ClockIdentity? ClockIdentity { get; set; }

        public ImmutableArray<FittedCard> Cards { get; set; } = [];

        public DuringExpression? During { get; set; }
    }
}

/// <summary>A card that a unit's settings put into a slot.</summary>
internal sealed record FittedCard(string Slot, TextSpan SlotSpan, ReferenceExpression Card, ImmutableArray<int> Arguments, TextSpan Span);
