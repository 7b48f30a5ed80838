using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>
/// The figures written for a clock in the election of a network's leader (IEEE 1588); null for those not written. A unit's override its
/// gear's, and those the format's, which are the factory defaults of its profile.
/// </summary>
/// <param name="Priority1">Compared first, 0 to 255; lower wins.</param>
/// <param name="Class">The class of time the clock runs on, 0 to 255; 255 never leads.</param>
/// <param name="Accuracy">How near to true time, as a code of IEEE 1588.</param>
/// <param name="Variance">How stable, 0 to 65535.</param>
/// <param name="Priority2">Compared among equally good clocks, 0 to 255; lower wins.</param>
public sealed record ElectionFigures(int? Priority1, int? Class, int? Accuracy, int? Variance, int? Priority2)
{
    /// <summary>No figure written.</summary>
    public static ElectionFigures None { get; } = new(null, null, null, null, null);

    internal static ElectionFigures Of(SettingTable settings)
    {
        if (settings.All.IsEmpty) return None;
        var priority1 = Whole("priority_1", byte.MaxValue);
        var clockClass = Whole("clock_class", byte.MaxValue);
        int? accuracy = settings["clock_accuracy"]?.Value is { Measure: Measure.Time, Value: > 0 } time ? ClockAccuracy.CodeOf(time.Value) : null;
        var variance = Whole("clock_variance", ushort.MaxValue);
        var priority2 = Whole("priority_2", byte.MaxValue);
        // Most settings are about something else: no object for those.
        return (priority1 ?? clockClass ?? accuracy ?? variance ?? priority2) is null ? None : new ElectionFigures(priority1, clockClass, accuracy, variance, priority2);

        // A value out of range has its own finding, and counts as not written.
        int? Whole(string name, int most) =>
            settings[name]?.Value is { Measure: Measure.None, Value: var value } && value >= 0 && value <= most && double.IsInteger(value) ? (int)value : null;
    }

    /// <summary>These figures, with those not written taken from others.</summary>
    public ElectionFigures Or(ElectionFigures other) => new(
        Priority1 ?? other.Priority1, Class ?? other.Class, Accuracy ?? other.Accuracy, Variance ?? other.Variance, Priority2 ?? other.Priority2);

    /// <summary>What a clock with these figures announces; factory defaults stand in for those not written.</summary>
    public ClockDataSet DataSet(ClockIdentity? identity) => new()
    {
        Priority1 = Priority1 ?? ClockDataSet.DefaultPriority,
        Class = Class ?? ClockDataSet.DefaultClass,
        Accuracy = Accuracy ?? ClockAccuracy.Unknown,
        Variance = Variance ?? ClockDataSet.UnknownVariance,
        Priority2 = Priority2 ?? ClockDataSet.DefaultPriority,
        Identity = identity,
    };
}
