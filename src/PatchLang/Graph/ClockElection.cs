using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Physics;

namespace PatchLang.Graph;

/// <summary>A member of a network that is eligible to lead it.</summary>
/// <param name="Clock">Its clock.</param>
/// <param name="DataSet">The figures it announces.</param>
/// <param name="GivesWay">Whether it follows this network and the plan gives it no rank: it leads only if nobody else does (common practice).</param>
public sealed record ClockCandidate(Clock Clock, ClockDataSet DataSet, bool GivesWay);

/// <summary>
/// The election of a clock leader on a network that shares time: its members compare the figures they announce, by IEEE 1588.
/// A plan's timekeeper and standbys announce the priorities that rank them first and second; figures written at a unit override these.
/// </summary>
public sealed class ClockElection
{
    internal ClockElection(Network network, ImmutableArray<ClockCandidate> candidates, Func<Clock, Clock?> rootOf)
    {
        Network = network;
        Candidates = candidates;
        var heard = candidates.Any(c => !c.GivesWay) ? [.. candidates.Where(c => !c.GivesWay)] : candidates;
        if (heard.IsEmpty) return;
        First = [.. DataSetComparison.Best([.. heard.Select(c => c.DataSet)]).Select(i => heard[i])];
        // If all of them run on the same clock, it makes no difference which one leads.
        if (First.Length == 1 || (rootOf(First[0].Clock) is { } root && First.All(c => rootOf(c.Clock) == root))) Leader = First[0].Clock;
        var others = heard.Except(First).ToImmutableArray();
        if (!others.IsEmpty) Second = others[DataSetComparison.Best([.. others.Select(c => c.DataSet)])[0]];
    }

    /// <summary>The network.</summary>
    public Network Network { get; }

    /// <summary>The eligible members, in the rig's order.</summary>
    public ImmutableArray<ClockCandidate> Candidates { get; }

    /// <summary>The winners: one, or several that only their identities, which the plan does not state, could tell apart.</summary>
    public ImmutableArray<ClockCandidate> First { get; } = [];

    /// <summary>The leader; null if that is undecided, or nobody is eligible.</summary>
    public Clock? Leader { get; }

    /// <summary>The runner-up; null if the first has no rival.</summary>
    public ClockCandidate? Second { get; }

    /// <summary>The figure that decided between the first and the second.</summary>
    public DecidedBy DecidedBy => First.Length == 1 && Second is { } second ? DataSetComparison.Compare(First[0].DataSet, second.DataSet).By : DecidedBy.Nothing;

    /// <summary>
    /// The deciding comparison in a few words: <c>its priority 1 is 126, that of rack 127</c>; null if there was no rival, or no decision.
    /// </summary>
    public string? Why => First.Length != 1 || Second is not { } second ? null : DecidedBy switch
    {
        DecidedBy.Priority1 => Compared("priority 1", s => s.Priority1, second),
        DecidedBy.Class => Compared("clock class", s => s.Class, second),
        DecidedBy.Accuracy => Compared("clock accuracy", s => s.Accuracy, second),
        DecidedBy.Variance => Compared("clock variance", s => s.Variance, second),
        DecidedBy.Priority2 => Compared("priority 2", s => s.Priority2, second),
        DecidedBy.Identity => $"all else is the same, and its identity is lower than that of {second.Clock.Name}",
        _ => null,
    };

    private string Compared(string figure, Func<ClockDataSet, int> of, ClockCandidate second) =>
        string.Create(CultureInfo.InvariantCulture, $"its {figure} is {of(First[0].DataSet)}, that of {second.Clock.Name} {of(second.DataSet)}");

    /// <summary>The timekeeper whose time the network is meant to run on; null if there is none.</summary>
    internal Timekeeping? Keeper { get; init; }

    /// <summary>The candidate with a clock; null if that clock is not eligible.</summary>
    public ClockCandidate? Of(Clock clock) => Candidates.FirstOrDefault(c => c.Clock == clock);
}
