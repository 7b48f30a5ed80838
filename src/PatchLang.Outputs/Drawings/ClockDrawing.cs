using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Outputs.Drawings.Layout;
using PatchLang.Text;

namespace PatchLang.Outputs.Drawings;

/// <summary>The clocks: free-running ones on the left, each follower to the right of the clock it follows, and faults in words.</summary>
public sealed class ClockDrawing
{
    private const int MostColumns = 38;

    /// <summary>The prefix of the codes of findings about clocks.</summary>
    private const string Group = "PL05";

    private readonly Compilation plan;
    private readonly ActSet acts;
    private readonly Sketch sketch = new();
    private readonly FormatStyles styles = new();
    private readonly Dictionary<Device, SortedDictionary<string, string>> faults = [];

    private ClockDrawing(Compilation plan, ActSet acts) => (this.plan, this.acts) = (plan, acts);

    /// <summary>Draws the clocks.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="acts">Restricts the drawing to these acts. If clocks differ between acts, each arrangement is drawn.</param>
    public static Drawing Of(Compilation plan, ActSet acts) => new ClockDrawing(plan, acts).Draw();

    private Drawing Draw()
    {
        FindFaults();
        var views = plan.Clocks.Views.Where(v => v.Acts.Meets(acts)).ToList();
        foreach (var view in views) Add(view, views.Count > 1);
        var free = views[0].States.Count(s => s.IsFree);
        var lost = views[0].States.Count(s => s.Fault != ClockFault.None);
        return sketch.Finish(new Drawing
        {
            Title = Headline.Of(plan, "Clocks", acts),
            Description = $"{views[0].States.Length} clocks, of which {free} run{(free == 1 ? "s" : "")} free and lead{(free == 1 ? "s" : "")} the others{(lost == 0 ? "" : $" and {lost} {(lost == 1 ? "has" : "have")} no time")}. Each stands right of the clock that it follows.",
            Notes = new Marks(plan).Notes,
            Formats = styles.All,
        });
    }

    private void Add(ClockView view, bool isOneOfSeveral)
    {
        var boxOf = new Dictionary<Clock, SketchedBox>();
        foreach (var state in view.States)
        {
            if (!state.Clock.Device.Acts.Meets(view.Acts)) continue;
            var codes = faults.GetValueOrDefault(state.Clock.Device);
            boxOf.Add(state.Clock, sketch.Add(new SketchedBox(BoxSort.Clock, state.Clock.Name, Lettering.Cut(TitleOf(state.Clock), MostColumns))
            {
                Details = [.. Details(state, view, isOneOfSeveral, codes).Select(d => Lettering.Cut(d, 46))],
                IsStrong = state.IsFree,
                Marks = codes is null ? [] : [.. codes.Keys],
                Place = plan.PlaceOf(state),
            }));
        }
        var portOf = new Dictionary<(Clock, FormatStyle), SketchedPort>();
        foreach (var state in view.States)
        {
            if (state.Upstream is not { } leader || !boxOf.TryGetValue(leader, out var from) || !boxOf.TryGetValue(state.Clock, out var to) || leader == state.Clock) continue;
            var socket = state.Source.Socket;
            var style = styles.Of(socket?.Format);
            // Followers through the same format share one line that branches.
            if (!portOf.TryGetValue((leader, style), out var port)) portOf.Add((leader, style), port = from.AddPort(from.Own, Flank.Right, leader.Name, ""));
            var line = new SketchedLine(port, to.AddPort(to.Own, Flank.Left, state.Clock.Name, ""), style)
            {
                Text = $"from {state.SourceText}",
                Detail = socket?.Format?.Name ?? "inside of the unit",
                IsToldAtEnd = true,
                Place = plan.PlaceOf(state),
            };
            line.KeepRoom();
            sketch.Add(line);
        }
    }

    private static string TitleOf(Clock clock) =>
        clock.Device.Host is null ? clock.Device.Label ?? clock.Name : $"{clock.Device.Outermost.Label ?? clock.Device.Outermost.Name}: {clock.Device.Slot!.Name}";

    private IEnumerable<string> Details(ClockState state, ClockView view, bool isOneOfSeveral, SortedDictionary<string, string>? codes)
    {
        var name = state.Clock.Name + (isOneOfSeveral ? Headline.During(plan, view.Acts) : "");
        yield return $"{name} · {Quantity.Frequency(state.Clock.Device.Model.Rate)}";
        yield return state.Fault switch
        {
            ClockFault.Loop => $"▲ in a circle, by {state.SourceText}: no time",
            ClockFault.NoTime => state.Upstream is null ? $"▲ no time arrives at {state.SourceText}" : "▲ what it follows has no time",
            ClockFault.Undecided => state.Upstream is null ? $"▲ nothing says who leads at {state.SourceText}" : "▲ what it follows is undecided",
            _ => state.IsFree
                ? $"runs free{(state.Clock.Model.AccuracyPpm is { } accuracy ? $", within {Quantity.Number(accuracy)} ppm" : "")}"
                : $"on the time of {state.Root?.Name ?? "?"}",
        };
        var role = plan.Rig.RoleOf(state.Clock, view.Acts);
        if (role == ClockRole.Timekeeper) yield return "timekeeper (clock leader)";
        if (role == ClockRole.Standby) yield return "standby: takes over";
        if (codes is not null)
            foreach (var title in codes.Values.Distinct()) yield return title;
    }

    /// <summary>The devices that findings about clocks are about: those whose unit or follow statement is a finding's own place.</summary>
    private void FindFaults()
    {
        var devicesAt = new Dictionary<(string, int), List<Device>>();
        var trees = plan.Trees.ToDictionary(t => t.Source.Path);
        foreach (var device in plan.Rig.Devices) At(plan.PlaceOf(device.Unit), device);
        foreach (var view in plan.Clocks.Views)
            foreach (var state in view.States) At(plan.PlaceOf(state), state.Clock.Device);
        foreach (var finding in plan.Findings)
        {
            if (!finding.Code.StartsWith(Group, StringComparison.Ordinal) || finding.Severity < Severity.Warning) continue;
            foreach (var place in finding.Related.Prepend(finding.Place))
            {
                if (Key(place) is not { } key || !devicesAt.TryGetValue(key, out var devices)) continue;
                foreach (var device in devices.Where(d => Names(finding, d)))
                    (faults.TryGetValue(device, out var codes) ? codes : faults[device] = new SortedDictionary<string, string>(StringComparer.Ordinal))[finding.Code] = finding.Kind.Title;
            }
        }

        void At(Place place, Device device)
        {
            if (Key(place) is not { } key) return;
            if (!devicesAt.TryGetValue(key, out var list)) devicesAt.Add(key, list = []);
            if (!list.Contains(device)) list.Add(device);
        }

        (string, int)? Key(Place place) => trees.TryGetValue(place.Source.Path, out var tree) ? (place.Source.Path, tree.IndexAt(place.Span.Start)) : null;
    }

    /// <summary>Whether a finding's sentence or remarks name a device itself, and not merely a card in it.</summary>
    private static bool Names(Finding finding, Device device)
    {
        foreach (var text in finding.Related.Select(r => r.Remark ?? "").Prepend(finding.Message))
            for (var at = text.IndexOf(device.Name, StringComparison.Ordinal); at >= 0; at = text.IndexOf(device.Name, at + 1, StringComparison.Ordinal))
            {
                var end = at + device.Name.Length;
                var startsHere = at == 0 || !(char.IsLetterOrDigit(text[at - 1]) || text[at - 1] is '_' or '.');
                var endsHere = end == text.Length || !(char.IsLetterOrDigit(text[end]) || text[end] is '_' or '[' || (text[end] == '.' && end + 1 < text.Length && char.IsLetterOrDigit(text[end + 1])));
                if (startsHere && endsHere) return true;
            }
        return false;
    }
}
