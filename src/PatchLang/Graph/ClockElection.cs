using System.Collections.Immutable;
using System.Globalization;
using PatchLang.Physics;

namespace PatchLang.Graph;

/// <summary>A member of a network that may lead it.</summary>
/// <param name="Clock">Its clock.</param>
/// <param name="DataSet">What it announces.</param>
/// <param name="GivesWay">Whether it follows this network, and nothing in the plan says that it should lead: it leads only where nobody else does (common practice).</param>
public sealed record ClockCandidate(Clock Clock, ClockDataSet DataSet, bool GivesWay);

/// <summary>
/// How a network that shares time gets its leader: its members compare what they announce, by IEEE 1588. A plan's timekeeper and
/// standbys announce the priorities that make them first and second; what is written at a unit counts as it is written.
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
        // Where all of them run on one clock, it is the same whichever leads.
        if (First.Length == 1 || (rootOf(First[0].Clock) is { } root && First.All(c => rootOf(c.Clock) == root))) Leader = First[0].Clock;
        var others = heard.Except(First).ToImmutableArray();
        if (!others.IsEmpty) Second = others[DataSetComparison.Best([.. others.Select(c => c.DataSet)])[0]];
    }

    /// <summary>The network.</summary>
    public Network Network { get; }

    /// <summary>The members that may lead, in the rig's order.</summary>
    public ImmutableArray<ClockCandidate> Candidates { get; }

    /// <summary>Who is first: one, or several between whom only identities that the plan does not know decide.</summary>
    public ImmutableArray<ClockCandidate> First { get; } = [];

    /// <summary>Who leads; null where that is undecided, or nobody may.</summary>
    public Clock? Leader { get; }

    /// <summary>The one that the first was compared with last; null where it has no rival.</summary>
    public ClockCandidate? Second { get; }

    /// <summary>What decided between the first and the second.</summary>
    public DecidedBy DecidedBy => First.Length == 1 && Second is { } second ? DataSetComparison.Compare(First[0].DataSet, second.DataSet).By : DecidedBy.Nothing;

    /// <summary>What decided, in a few words: <c>its priority 1 is 126, that of rack 127</c>; null where it had no rival, or nothing decided.</summary>
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

    /// <summary>The timekeeper whose time the network is to run on; null where it is none's.</summary>
    internal Timekeeping? Keeper { get; init; }

    /// <summary>A member by its clock, if it may lead.</summary>
    public ClockCandidate? Of(Clock clock) => Candidates.FirstOrDefault(c => c.Clock == clock);
}
