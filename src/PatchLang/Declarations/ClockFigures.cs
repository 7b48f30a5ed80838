using PatchLang.Findings;
using PatchLang.Physics;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>Checks that clock figures are in a possible range. A figure out of range gives PL0516, and counts as unknown.</summary>
internal static class ClockFigures
{
    public static void Check(SettingTable settings, Statement statement, DraftBag bag)
    {
        foreach (var setting in settings.All)
            if (WhyNot(setting) is { } why)
                bag.Add(new Draft(ClockFindings.FigureOf(setting.Name, why), new Anchor(statement, setting.Span))
                {
                    Fixes = [new FixDraft($"leave `{setting.Name}` out", false, Anchors.WithBlanksBefore(new Anchor(statement, setting.Span)), "")],
                });
    }

    /// <summary>Reports a setting that is written twice in one pair of braces: it is unclear which of the two counts.</summary>
    public static void CheckTwice(SettingTable settings, string clock, Statement statement, DraftBag bag)
    {
        foreach (var setting in settings.All)
            if (settings[setting.Name] is { } first && first != setting)
                bag.Add(new Draft(ClockFindings.FigureTwice(setting.Name, clock), new Anchor(statement, setting.Span))
                {
                    Related = [(new Anchor(statement, first.Span), "first here")],
                    Fixes = [new FixDraft($"keep the first `{setting.Name}`", false, Anchors.WithBlanksBefore(new Anchor(statement, setting.Span)), "")],
                });
    }

    /// <summary>
    /// Reports a sample rate that is in no standard and not one of them pulled up or down by a usual ratio, and suggests the nearest, or the
    /// same number in kHz or Hz if that is one.
    /// </summary>
    public static void CheckRate(double hertz, Anchor at, DraftBag bag)
    {
        if (SampleRates.Find(hertz) is not null) return;
        var slipped = SampleRates.Find(hertz * 1_000) ?? SampleRates.Find(hertz / 1_000);
        var meant = Quantity.Frequency(slipped?.Hertz ?? SampleRates.Nearest(hertz));
        bag.Add(new Draft(slipped is null ? ClockFindings.RateOfNoStandard(hertz, meant) : ClockFindings.RateInOtherUnit(hertz, meant), at)
        {
            Fixes = [new FixDraft($"write `{meant}`", false, at, meant)],
        });
    }

    /// <summary>An accuracy or a capture range, in ppm; null if it is not written, or impossible.</summary>
    public static double? Ppm(SettingTable settings, string name) =>
        settings[name] is { Value: { Measure: Measure.Accuracy, Value: var ppm } } setting && WhyNot(setting) is null ? ppm : null;

    private static string? WhyNot(Setting setting) => (setting.Name, setting.Value) switch
    {
        ("accuracy", { Measure: Measure.Accuracy, Value: <= 0 } value) => $"is {Quantity.Number(value.Value)} ppm: every clock is off by something",
        ("capture", { Measure: Measure.Accuracy, Value: <= 0 } value) => $"is {Quantity.Number(value.Value)} ppm: a clock that goes along with nothing follows nobody",
        ("accuracy" or "capture", { Measure: Measure.Accuracy, Value: > ClockTolerance.Most } value) =>
            $"is {Quantity.Number(value.Value)} ppm, or {Quantity.Number(value.Value / 1e4)} %: no clock of the trade is further off than {Quantity.Number(ClockTolerance.Most / 1e4)} %",
        ("priority_1" or "priority_2" or "clock_class" or "never_leads", { Measure: Measure.None } value) => Whole(value.Value, 0, byte.MaxValue),
        ("clock_variance", { Measure: Measure.None } value) => Whole(value.Value, 0, ushort.MaxValue),
        ("slip_block", { Measure: Measure.None } value) => Whole(value.Value, 1, ushort.MaxValue),
        ("clock_accuracy", { Measure: Measure.Time, Value: <= 0 }) => "is no time: the best that can be said is 1 ps",
        ("identity", null) when setting.Text is { } text && ClockIdentity.Parse(text) is null => "is eight octets, or six: \"00-1D-C1-FF-FE-10-20-30\"",
        _ => null,
    };

    private static string? Whole(double value, int least, int most) =>
        double.IsInteger(value) && value >= least && value <= most ? null : $"is a whole number from {least} to {most}";
}
