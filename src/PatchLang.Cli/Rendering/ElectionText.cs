using System.Globalization;
using PatchLang.Graph;

namespace PatchLang.Cli.Rendering;

/// <summary>How a network got its leader, for a person to read.</summary>
internal static class ElectionText
{
    /// <summary>Writes one network; nothing if its members share no time.</summary>
    public static void Write(Network network, ClockView view, Terminal terminal)
    {
        if (view.ElectionOf(network) is not { } election) return;
        terminal.Output.WriteLine();
        terminal.Output.WriteLine($"  network {network}: {Leader(election, view)}");
        foreach (var candidate in election.Candidates.Where(IsSet))
            terminal.Output.WriteLine($"    priority 1 of {candidate.Clock.Name}: {candidate.DataSet.Priority1.ToString(CultureInfo.InvariantCulture)}");

        // Whether its priority 1 was changed, by the plan's roles or a setting of the unit; all others keep the factory's.
        bool IsSet(ClockCandidate candidate) =>
            candidate.DataSet.Priority1 != (candidate.Clock.Model.Election.Or(network.Format.Election).Priority1 ?? Physics.ClockDataSet.DefaultPriority);
    }

    /// <summary>The leader, and why it leads.</summary>
    public static string Leader(ClockElection election, ClockView view)
    {
        if (election.Leader is { } leader)
        {
            var root = view[leader].Root is { } led && led != leader ? $", on the clock of {led.Name}" : "";
            return $"led by {leader.Name}{root}{(election.Why is { } why ? $" ({why})" : "")}";
        }
        return election.First.Length > 1
            ? $"led by {Names.Either(election.First.Select(c => c.Clock.Name))}, as their identities decide"
            : "led by nobody that the plan knows";
    }
}
