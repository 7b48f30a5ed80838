using System.Collections.Immutable;

namespace PatchLang.Physics;

/// <summary>The figure that decided between two candidates.</summary>
public enum DecidedBy
{
    /// <summary>Nothing: they are equal in all figures, and an identity is unknown.</summary>
    Nothing,

    /// <summary>Priority 1.</summary>
    Priority1,

    /// <summary>The class.</summary>
    Class,

    /// <summary>The accuracy: how near to true time.</summary>
    Accuracy,

    /// <summary>The variance: how stable.</summary>
    Variance,

    /// <summary>Priority 2.</summary>
    Priority2,

    /// <summary>Their identities.</summary>
    Identity,

    /// <summary>The same clock, announced over two paths: the shorter path.</summary>
    Steps,

    /// <summary>The same clock, announced over two paths: the identities along them. The standard calls it "better by topology".</summary>
    Topology,

    /// <summary>An announcement that returned to the port that sent it: the standard's error-1.</summary>
    OwnAnnouncement,

    /// <summary>The same announcement twice: the standard's error-2.</summary>
    SameAnnouncement,
}

/// <summary>The outcome of a comparison.</summary>
/// <param name="Order">Below zero if the first leads, above if the second does; zero if undecided or an error.</param>
/// <param name="By">What decided.</param>
public readonly record struct DataSetOrder(int Order, DecidedBy By);

/// <summary>
/// The data-set comparison of IEEE 1588 (2008: 9.3.4, figures 27 and 28; 2019: figures 34 and 35), by which the members of a
/// network agree on one leader. The order of the steps was read in two open implementations.
/// </summary>
public static class DataSetComparison
{
    /// <summary>Compares what two clocks announce.</summary>
    public static DataSetOrder Compare(in ClockDataSet a, in ClockDataSet b)
    {
        // The same clock, heard over two paths. An unknown identity is assumed to be another clock's.
        if (a.Identity is { } same && same == b.Identity) return CompareWays(a.Way, b.Way);
        if (a.Priority1 != b.Priority1) return By(DecidedBy.Priority1, a.Priority1, b.Priority1);
        if (a.Class != b.Class) return By(DecidedBy.Class, a.Class, b.Class);
        if (a.Accuracy != b.Accuracy) return By(DecidedBy.Accuracy, a.Accuracy, b.Accuracy);
        if (a.Variance != b.Variance) return By(DecidedBy.Variance, a.Variance, b.Variance);
        if (a.Priority2 != b.Priority2) return By(DecidedBy.Priority2, a.Priority2, b.Priority2);
        return a.Identity is { } one && b.Identity is { } other ? new DataSetOrder(one.CompareTo(other), DecidedBy.Identity) : default;
    }

    /// <summary>
    /// Elects the leader among several clocks, independent of their order.
    /// </summary>
    /// <param name="sets">What each clock announces.</param>
    /// <returns>
    /// The indices of the clocks that no other beats, in order: one if the election is decided; several if only unknown identities
    /// (or identities that are wrongly equal) could decide; none for an empty list.
    /// </returns>
    public static ImmutableArray<int> Best(IReadOnlyList<ClockDataSet> sets)
    {
        if (sets.Count == 0) return [];
        // Compare first by the figures that are known for every clock; break ties by the lowest known identity.
        var best = sets[0] with { Identity = null };
        foreach (var set in sets)
            if (Compare(set with { Identity = null }, best).Order < 0) best = set with { Identity = null };
        ClockIdentity? lowest = null;
        for (var i = 0; i < sets.Count; i++)
            if (IsAlike(sets[i]) && sets[i].Identity is { } identity && !(identity >= lowest)) lowest = identity;
        return [.. Enumerable.Range(0, sets.Count).Where(i => IsAlike(sets[i]) && (sets[i].Identity is null || sets[i].Identity == lowest))];

        bool IsAlike(in ClockDataSet set) => Compare(set with { Identity = null }, best).By == DecidedBy.Nothing;
    }

    private static DataSetOrder By(DecidedBy by, int a, int b) => new(a.CompareTo(b), by);

    /// <summary>The second figure of the standard: the same clock, heard over two paths.</summary>
    private static DataSetOrder CompareWays(in AnnouncedWay a, in AnnouncedWay b)
    {
        // A difference of one step may be due to the position of the port; only a larger one decides.
        if (Math.Abs(a.StepsRemoved - b.StepsRemoved) > 1) return By(DecidedBy.Steps, a.StepsRemoved, b.StepsRemoved);
        if (a.StepsRemoved != b.StepsRemoved)
        {
            var aIsShorter = a.StepsRemoved < b.StepsRemoved;
            var longer = aIsShorter ? b : a;
            var order = aIsShorter ? -1 : 1;
            return longer.Receiver.CompareTo(longer.Sender) switch
            {
                < 0 => new DataSetOrder(order, DecidedBy.Steps),
                > 0 => new DataSetOrder(order, DecidedBy.Topology),
                _ => new DataSetOrder(0, DecidedBy.OwnAnnouncement),
            };
        }
        if (a.Sender != b.Sender) return new DataSetOrder(a.Sender.CompareTo(b.Sender), DecidedBy.Topology);
        return a.Receiver.Number == b.Receiver.Number
            ? new DataSetOrder(0, DecidedBy.SameAnnouncement)
            : By(DecidedBy.Topology, a.Receiver.Number, b.Receiver.Number);
    }
}
