using PatchLang.Graph;

namespace PatchLang.Cli.Rendering;

/// <summary>What happens when a timekeeper is lost, for a person to read.</summary>
internal sealed class LossText(Rig rig, ClockLoss loss, Terminal terminal)
{
    /// <summary>The most slips listed.</summary>
    private const int MostSlips = 5;

    /// <summary>Writes it.</summary>
    public void Write()
    {
        terminal.Output.WriteLine();
        terminal.Output.WriteLine($"  if {loss.Keeper.Name} is lost");
        foreach (var network in loss.Led)
            if (loss.View.ElectionOf(network) is { } election) Line($"network {network}: {ElectionText.Leader(election, loss.View)}{Along(election)}");
        var leaders = loss.Led.Select(loss.View.LeaderOf).ToList();
        var freed = loss.Freed.Except(leaders.OfType<Clock>()).ToList();
        if (freed.Count > 0) Line($"{Names.All(freed.Select(c => c.Name))} {(freed.Count == 1 ? "runs" : "run")} free");
        if (loss.Silenced.Length > 0) Line($"{Names.All(loss.Silenced.Select(c => c.Name))} {(loss.Silenced.Length == 1 ? "gets" : "get")} no time");
        foreach (var slip in loss.Slips.Take(MostSlips)) Line($"{slip.From} -> {slip.To}: {slip.Describe()}");
        if (loss.Slips.Length > MostSlips) Line($"{loss.Slips.Length - MostSlips} more like these");
        if (loss.Slips.IsEmpty) Line("nothing that is still heard slips");
    }

    private string Along(ClockElection election)
    {
        if (election.Leader is not { } leader || loss.View[leader].Root is not { } root) return "";
        var along = rig.Clocks.Count(c => c.Device.Outermost != loss.Keeper.Device.Outermost && c != root && loss.View[c].Root == root);
        return along == 0 ? "" : $"; {along} more {(along == 1 ? "clock runs" : "clocks run")} on its time";
    }

    private void Line(string text) => terminal.Output.WriteLine("    " + text);
}
