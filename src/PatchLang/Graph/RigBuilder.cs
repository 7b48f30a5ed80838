using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Graph;

/// <summary>Builds the rig: devices of units and cards in slots here; networks, cables and clocks by a binder each.</summary>
internal sealed class RigBuilder
{
    /// <summary>The most channels that a plan may have, counting all sides.</summary>
    public const int MostNodes = 4_000_000;

    internal static readonly SettingVocabulary UnitSettings = new(
        "a unit",
        ("place", ValueForm.Text, Measure.None),
        ("note", ValueForm.Text, Measure.None),
        ("priority_1", ValueForm.Number, Measure.None),
        ("priority_2", ValueForm.Number, Measure.None),
        ("identity", ValueForm.Text, Measure.None));

    private readonly Foundation foundation;
    private readonly GearModelFactory models;
    private readonly Rig rig;
    private readonly List<Device> devices;
    private readonly List<Clock> clocks = [];
    private readonly HashSet<GearSymbol> usedGear = [];
    private readonly Dictionary<ClockIdentity, UnitSymbol> identities = [];
    private int nodes;

    private RigBuilder(Foundation foundation)
    {
        this.foundation = foundation;
        rig = new Rig(foundation.Units.Count);
        devices = new List<Device>(foundation.Units.Count);
        models = new GearModelFactory(FindFormat, SayUnknownFormat, rig.Findings);
    }

    public static Rig Build(Foundation foundation)
    {
        var builder = new RigBuilder(foundation);
        foreach (var unit in foundation.Units) builder.AddUnit(unit);
        builder.CheckUnusedGear();
        var built = builder.rig;
        built.Take([.. builder.devices], builder.nodes);
        built.Clocks = [.. builder.clocks];
        built.AllActs = foundation.AllActs;
        var paths = new PathResolver(foundation, built, null);
        new NetworkBinder(foundation, built, paths).Bind();
        new CableBinder(foundation, built, paths).Bind();
        new ClockBinder(foundation, built, paths).Bind();
        foreach (var unit in foundation.Units)
            if (unit.Acts != foundation.AllActs) built.Changes.Add(unit.Acts);
        built.ForgetDoubledChanges();
        return built;
    }

    private FormatSymbol? FindFormat(Symbol gear, string written)
    {
        var scope = foundation.HomeOf(gear.File);
        var dot = written.IndexOf('.');
        if (dot >= 0)
        {
            if (scope.Through(written[..dot]) is not { } through) return null;
            scope = through;
            written = written[(dot + 1)..];
        }
        return scope.Formats.Find(written)?.First as FormatSymbol;
    }

    private void SayUnknownFormat(Symbol gear, string written, Anchor at, DraftBag bag)
    {
        var scope = foundation.HomeOf(gear.File);
        Foundation.SayUnknown(scope, "format", written, scope.Formats.Known, at, bag);
    }

    private void CheckUnusedGear()
    {
        // Tests keep the library's definitions correct; a plan's own are checked even if no unit uses them.
        foreach (var gear in foundation.Gear)
            if (!gear.File.IsLibrary && !usedGear.Contains(gear)) models.CheckUnused(gear, foundation.Rate);
    }

    private void AddUnit(UnitSymbol unit)
    {
        Indexes.Check(unit.Index, unit.Statement, rig.Findings);
        CheckLabels(unit);
        if (!unit.RateSpan.Equals(default) && unit.Rate is null && unit.Statement.IsClear)
            rig.Findings.Add(NameFindings.WrongValueOf("a unit's rate", "takes a sample rate in Hz, kHz or MHz"), unit.At(unit.RateSpan));
        if (unit.Rate is { } own) ClockFigures.CheckRate(own, unit.At(unit.RateSpan), rig.Findings);
        if (unit.Gear is not { } reference) return;
        if (foundation.Find<GearSymbol>(reference, unit.File, unit.Statement, s => s.Gear, "gear", rig.Findings, g => !g.IsCard) is not { } gear) return;
        usedGear.Add(gear);
        if (gear.IsCard)
        {
            rig.Findings.Add(NameFindings.CardAsUnit(gear.Name), unit.At(reference.Span), gear.Anchor, "declared here");
            return;
        }
        var rate = unit.Rate ?? foundation.Rate;
        if (Settle(gear, unit.Arguments, unit.ArgumentsSpan is { Length: > 0 } span ? span : reference.Span, unit) is not { } arguments) return;
        var model = models.Make(gear, arguments, rate);
        UnitSettings.Check(unit.Settings, unit.Statement, rig.Findings, model, unit.Name);
        ClockFigures.Check(unit.Settings, unit.Statement, rig.Findings);
        CheckIdentity(unit);
        var cards = MakeCards(unit, model, rate, out var broken);
        var perPiece = model.NodeCount;
        foreach (var card in cards) perPiece += card?.NodeCount ?? 0;
        var count = unit.Elements.Count;
        if ((long)Math.Max(1, perPiece) * count + nodes > MostNodes)
        {
            rig.Findings.Add(ChannelFindings.PlanTooLarge((long)perPiece * count + nodes, MostNodes), unit.Anchor);
            return;
        }
        if (count == 1)
        {
            rig.Add(unit, AddPiece(unit, 0, model, cards, broken).Alone);
            return;
        }
        var pieces = ImmutableArray.CreateBuilder<Device>(count);
        for (var element = 0; element < count; element++) pieces.Add(AddPiece(unit, element, model, cards, broken));
        rig.Add(unit, pieces.MoveToImmutable());
    }

    private Device AddPiece(UnitSymbol unit, int element, GearModel model, GearModel?[] cards, ImmutableArray<string> broken)
    {
        var device = AddDevice(unit, element, model, null, null);
        if (cards.Length == 0) return device;
        device.BrokenSlots = broken;
        var fitted = new Device?[cards.Length];
        for (var slot = 0; slot < cards.Length; slot++)
            if (cards[slot] is { } card) fitted[slot] = AddDevice(unit, element, card, device, model.Slots[slot]);
        device.Cards = ImmutableCollectionsMarshal.AsImmutableArray(fitted);
        return device;
    }

    private void CheckLabels(UnitSymbol unit)
    {
        if (!unit.Statement.IsClear || !Indexes.IsKnown(unit.Index) || unit.Labels.Length <= 1 || unit.Labels.Length == unit.Elements.Count) return;
        rig.Findings.Add(ChannelFindings.LabelCount(unit.Labels.Length, unit.Elements.Count), unit.At(ExpressionReader.LabelSpan(unit.Statement, unit.Labels.Length - 1)));
    }

    /// <summary>Checks that no two clocks have the same identity.</summary>
    private void CheckIdentity(UnitSymbol unit)
    {
        if (unit.ClockIdentity is not { } identity) return;
        var at = unit.At(unit.Settings["identity"]!.Span);
        if (unit.Elements.Count > 1) rig.Findings.Add(ClockFindings.IdentityOfSeveral(unit.Name, unit.Elements.Count), at);
        else if (!identities.TryAdd(identity, unit) && identities[identity] is var other && other.Acts.Meets(unit.Acts))
            rig.Findings.Add(ClockFindings.IdentityTwice(other.Name, unit.Name, identity.ToString()), at, other.Anchor, "the other one");
    }

    private Device AddDevice(UnitSymbol unit, int element, GearModel model, Device? host, Slot? slot)
    {
        var device = new Device(devices.Count, unit, element, model, host, slot) { FirstNode = nodes, FirstClock = clocks.Count };
        devices.Add(device);
        nodes += model.NodeCount;
        foreach (var clock in model.Clocks) clocks.Add(new Clock(clocks.Count, device, clock));
        return device;
    }

    /// <summary>The counts to build gear with: those written, then defaults. Null if they don't fit the parameters.</summary>
    private ImmutableArray<int>? Settle(GearSymbol gear, ImmutableArray<int> written, TextSpan span, UnitSymbol unit)
    {
        var parameters = gear.Parameters;
        if (parameters.IsEmpty && written.IsEmpty) return [];
        var needed = 0;
        for (var i = 0; i < parameters.Length; i++)
            if (parameters[i].Default is null) needed = i + 1;
        if (written.Length > parameters.Length || written.Length < needed)
        {
            if (!unit.Statement.IsClear) return null; // the counts may be what could not be read
            rig.Findings.Add(
                NameFindings.ArgumentCount(gear.Name, [.. parameters.Select(p => p.Name)], needed, written.Length), unit.At(span), gear.Anchor, "declared here");
            return null;
        }
        for (var i = 0; i < written.Length; i++)
            if (written[i] is < 0 or > GearModelFactory.MostPerSocket)
            {
                rig.Findings.Add(
                    written[i] < 0 ? NameFindings.NoCount(parameters[i].Name, GearModelFactory.MostPerSocket) : NameFindings.ArgumentTooLarge(parameters[i].Name, GearModelFactory.MostPerSocket), unit.At(span));
                return null;
            }
        var settled = new int[parameters.Length];
        for (var i = 0; i < settled.Length; i++) settled[i] = i < written.Length ? written[i] : parameters[i].Default ?? 0;
        return ImmutableCollectionsMarshal.AsImmutableArray(settled);
    }

    /// <summary>A slot whose value is no card. The word behind it is the card, if that was written without `=`.</summary>
    private static Draft CardWanted(UnitSymbol unit, Setting slot)
    {
        var next = unit.Settings.All.IndexOf(slot) + 1;
        var isBare = slot is { Text: null, Value: null } && next < unit.Settings.All.Length && unit.Settings.All[next] is { Text: null, Value: null };
        return new Draft(NameFindings.WrongValueOf(slot.Name, "takes the name of a card"), unit.At(slot.Span))
        {
            Fixes = isBare ? [new FixDraft("put `=` in", false, unit.At(new TextSpan(unit.Settings.All[next].Span.Start, 0)), "= ")] : [],
        };
    }

    private GearModel?[] MakeCards(UnitSymbol unit, GearModel model, double rate, out ImmutableArray<string> broken)
    {
        broken = [];
        if (model.Slots.IsEmpty) return [];
        var cards = new GearModel?[model.Slots.Length];
        foreach (var setting in unit.Settings.All)
            if (model.SlotOf(setting.Name) is { } slot && unit.Cards.All(c => c.Slot != setting.Name))
            {
                broken = broken.Add(slot.Name);
                if (unit.Statement.IsClear) rig.Findings.Add(CardWanted(unit, setting));
            }
        foreach (var fitted in unit.Cards)
        {
            if (model.SlotOf(fitted.Slot) is not { } slot) continue; // reported as an unknown setting
            if (cards[slot.Index] is not null)
            {
                rig.Findings.Add(NameFindings.SlotTwice(slot.Name), unit.At(fitted.SlotSpan));
                continue;
            }
            cards[slot.Index] = MakeCard(unit, model, slot, fitted, rate);
            if (cards[slot.Index] is null) broken = broken.Add(slot.Name);
        }
        // The part of the statement that has syntax errors may fit a card.
        if (!unit.Statement.IsClear) broken = [.. model.Slots.Select(s => s.Name).Where(n => cards[model.SlotOf(n)!.Index] is null)];
        return cards;
    }

    private GearModel? MakeCard(UnitSymbol unit, GearModel model, Slot slot, FittedCard fitted, double rate)
    {
        if (foundation.Find<GearSymbol>(fitted.Card, unit.File, unit.Statement, s => s.Gear, "card", rig.Findings, g => g.IsCard && g.ForSlot == slot.Takes) is not { } card) return null;
        usedGear.Add(card);
        if (!card.IsCard)
        {
            rig.Findings.Add(FormatFindings.NotACard(card.Name, slot.Name), unit.At(fitted.Span), card.Anchor, "declared here");
            return null;
        }
        if (card.ForSlot != slot.Takes)
        {
            rig.Findings.Add(
                FormatFindings.CardForOtherSlot(card.Name, card.ForSlot ?? "", $"{unit.Name}.{slot.Name}", slot.Takes),
                unit.At(fitted.Span), model.Gear.Anchor, $"{model.Gear.Name} is declared here");
            return null;
        }
        return Settle(card, fitted.Arguments, fitted.Span, unit) is { } arguments ? models.Make(card, arguments, rate) : null;
    }
}
