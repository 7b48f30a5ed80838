using System.Globalization;
using PatchLang.Declarations;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Comparison;

/// <summary>Facts about the equipment: which units there are, their settings, their clocks.</summary>
internal static class Equipment
{
    public static void Add(PlanSide side, FactTable facts)
    {
        foreach (var device in side.Rig.Devices) Add(side, device, facts);
        foreach (var view in side.Plan.Clocks.Views)
        {
            foreach (var state in view.States) Add(side, view, state, facts);
            foreach (var network in side.Rig.Networks)
            {
                if (view.ElectionOf(network) is null) continue;
                var leader = view.LeaderOf(network);
                facts.Add(ChangeKind.Leader, side.NetworkName(network.Symbol.Name), "", leader is null ? "undecided" : side.NameOf(leader), side.Slots(view.Acts), () => side.Plan.PlaceOf(network.Symbol));
            }
        }
    }

    /// <summary>Gear as a plan writes it: <c>StageRack(32, 16)</c>.</summary>
    public static string GearOf(GearModel model) =>
        model.Arguments.IsDefaultOrEmpty ? model.Gear.Name : $"{model.Gear.Name}({string.Join(", ", model.Arguments.Select(a => a.ToString(CultureInfo.InvariantCulture)))})";

    /// <summary>A setting's value as a plan writes it.</summary>
    public static string ValueOf(Setting setting) =>
        setting.Text ?? (setting.Value is not { } value ? "yes" : setting.High is { } high && high != value ? $"{Number(value.Value)}..{Written(high)}" : Written(value));

    private static string Written(Quantity value) => value.Measure switch
    {
        Measure.Frequency => Quantity.Frequency(value.Value),
        Measure.Time => $"{Number(value.Value * 1e3)} ms",
        Measure.Gain => $"{Number(value.Value)} dB",
        Measure.LevelDbu => $"{Signed(value.Value)} dBu",
        Measure.LevelDbv => $"{Signed(value.Value)} dBV",
        Measure.LevelDbfs => $"{Signed(value.Value)} dBFS",
        Measure.Voltage => $"{Number(value.Value)} V",
        Measure.Current => $"{Number(value.Value)} A",
        Measure.Power => $"{Number(value.Value)} W",
        Measure.Accuracy => $"{Number(value.Value)} ppm",
        Measure.Length => Quantity.Metres(value.Value),
        Measure.Impedance => $"{Number(value.Value)} ohm",
        Measure.DataRate => $"{Number(value.Value / 1e6)} Mbit/s",
        Measure.Share => $"{Number(value.Value)} %",
        _ => Number(value.Value),
    };

    private static string Signed(double value) => $"{(value > 0 ? "+" : "")}{Number(value)}";

    private static string Number(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);

    private static void Add(PlanSide side, Device device, FactTable facts)
    {
        var name = side.NameOf(device);
        var unit = device.Unit;
        var slots = side.Slots(device.Acts);
        facts.Add(device.Host is null ? ChangeKind.Unit : ChangeKind.Card, name, "", GearOf(device.Model), slots, Where);
        if (device.Host is not null) return;
        facts.Add(ChangeKind.Rate, name, "", Quantity.Frequency(device.Model.Rate), slots, Where);
        if (device.Label is { } label) facts.Add(ChangeKind.Label, name, "unit", label, slots, Where);
        foreach (var setting in unit.Settings.All)
            if (!device.Model.Slots.Any(s => s.Name == setting.Name)) facts.Add(ChangeKind.UnitSetting, name, setting.Name, ValueOf(setting), slots, Where);

        Findings.Place Where() => side.Plan.PlaceOf(unit);
    }

    private static void Add(PlanSide side, ClockView view, ClockState state, FactTable facts)
    {
        var slots = side.Slots(view.Acts & state.Clock.Device.Acts);
        var name = side.NameOf(state.Clock);
        facts.Add(ChangeKind.Clock, name, "", state.IsFree ? "internal" : state.SourceText, slots, () => side.Plan.PlaceOf(state));
        if (side.Rig.RoleOf(state.Clock, view.Acts) is not ClockRole.None and var role)
            facts.Add(ChangeKind.ClockRole, name, "", role == ClockRole.Timekeeper ? "timekeeper" : "standby", slots, () => side.Plan.PlaceOfRole(state.Clock, view.Acts) ?? side.Plan.PlaceOf(state));
    }
}
