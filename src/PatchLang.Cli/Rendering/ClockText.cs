using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>Clocks for a person to read: each below the one it follows.</summary>
internal sealed class ClockText(Rig rig, ClockView view, Terminal terminal)
{
    private const int NameWidth = 30;

    /// <summary>Writes the clocks.</summary>
    public void Write()
    {
        var followers = view.States.Where(s => s.Upstream is not null).ToLookup(s => s.Upstream);
        foreach (var state in view.States)
            if (state.Upstream is null) WriteBelow(state, 0);
        // Clocks in a circle have no root that they could be listed below.
        foreach (var state in view.States)
            if (state.Fault == ClockFault.Loop) WriteLine(state, 0);

        void WriteBelow(ClockState state, int depth)
        {
            WriteLine(state, depth);
            foreach (var follower in followers[state.Clock]) WriteBelow(follower, depth + 1);
        }
    }

    private void WriteLine(ClockState state, int depth)
    {
        var name = (new string(' ', 2 + 2 * depth) + state.Clock.Name).PadRight(NameWidth);
        var fault = state.Fault switch
        {
            ClockFault.Loop => $"follows {state.SourceText} ({state.Upstream!.Name}): a circle, with no time of its own",
            ClockFault.NoTime => state.Upstream is null ? $"follows {state.SourceText}, where no time arrives" : null,
            ClockFault.Undecided => state.Upstream is null ? $"follows {state.SourceText}, and nothing says who leads there" : null,
            _ => null,
        };
        var says = fault ?? (state.IsFree ? $"runs free{Accuracy(state.Clock)}" : $"follows {state.SourceText}");
        var role = rig.RoleOf(state.Clock, view.Acts) switch { ClockRole.Timekeeper => ", timekeeper", ClockRole.Standby => ", standby", _ => "" };
        terminal.Output.WriteLine(name + (fault is null ? says : terminal.Paint(Tone.Error, says)) + role);
    }

    private static string Accuracy(Clock clock) => clock.Model.AccuracyPpm is { } accuracy ? $" (within {Quantity.Number(accuracy)} ppm)" : "";
}
