using System.Collections.Immutable;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Outputs.Sheets;

/// <summary>The clock sheet: which clock follows which, which one leads, which takes over, and what each display must show.</summary>
internal static class ClockSheet
{
    private static readonly ImmutableArray<Column> Columns =
    [
        new("Clock"), new("Unit"), new("Set it to"), new("Must read"), new("Role"), new("Runs free within"), Column.Tick("Reads so"), Column.Tick("A minute without errors"),
    ];

    public static IEnumerable<Sheet> Of(PlanBook book)
    {
        var views = book.Plan.Clocks.Views.Where(v => v.Acts.Meets(book.Acts) && v.States.Length > 0).ToList();
        var sections = views.Select(v => new Section(book.During(v.Acts), Columns, [.. InTreeOrder(v).Select(s => RowOf(book, v, s.State, s.Depth))]))
            .Concat(views.Select(v => new Section(
                $"If the clock leader is lost{(book.During(v.Acts) is { Length: > 0 } acts ? $", {acts}" : "")}", [new("Lost"), new("Then runs free"), new("Gets no time"), new("Slips"), Column.WriteIn("Who does what")],
                [.. book.Plan.Clocks.LossesIn(v).Select(l => LossOf(book, v, l))])).Where(s => !s.Rows.IsEmpty)).ToImmutableArray();
        if (!sections.IsEmpty)
            yield return new Sheet("clocks", "Clocks", "For whoever sets the clocks: the leader first, then each below the one that it follows.", book.WholeDay, sections)
            {
                Cautions = [Cautions.Ears],
            };
    }

    /// <summary>The clocks, each below the one it follows, with its depth. Circles come last.</summary>
    public static List<(ClockState State, int Depth)> InTreeOrder(ClockView view)
    {
        var followers = view.States.Where(s => s.Upstream is not null).ToLookup(s => s.Upstream);
        var order = new List<(ClockState, int)>();
        var open = new Stack<(ClockState State, int Depth)>(view.States.Where(s => s.Upstream is null).Reverse().Select(s => (s, 0)));
        while (open.TryPop(out var at))
        {
            order.Add(at);
            foreach (var follower in followers[at.State.Clock].Reverse()) open.Push((follower, at.Depth + 1));
        }
        order.AddRange(view.States.Where(s => s.Fault == ClockFault.Loop).Select(s => (s, 0)));
        return order;
    }

    /// <summary>What a clock's display must show.</summary>
    public static string Reads(PlanBook book, ClockState state) => state.Fault switch
    {
        ClockFault.Loop => "a circle: it can't lock",
        ClockFault.NoTime => "no time arrives: it can't lock",
        ClockFault.Undecided => "not decided who leads",
        _ => state.IsFree ? $"internal, {Quantity.Frequency(state.Clock.Device.Model.Rate)}" : $"locked to {state.SourceText}, {Quantity.Frequency(state.Clock.Device.Model.Rate)}",
    };

    private static Row LossOf(PlanBook book, ClockView view, ClockLoss loss)
    {
        const int few = 4;
        var slips = loss.Slips.Take(few).Select(s => $"{s.From} to {s.To}: {s.Describe()}").ToList();
        if (loss.Slips.Length > few) slips.Add($"and {loss.Slips.Length - few} more");
        return book.RowOf(
            [loss.Keeper.Name, string.Join(", ", loss.Freed.Select(c => c.Name)), string.Join(", ", loss.Silenced.Select(c => c.Name)), slips.Count > 0 ? string.Join('\n', slips) : "nothing", Cell.Empty],
            book.Plan.PlaceOf(view[loss.Keeper]));
    }

    private static Row RowOf(PlanBook book, ClockView view, ClockState state, int depth)
    {
        var role = book.Rig.RoleOf(state.Clock, view.Acts) switch { ClockRole.Timekeeper => "clock leader (timekeeper)", ClockRole.Standby => "standby", _ => "" };
        ImmutableArray<Cell> cells =
        [
            string.Concat(Enumerable.Repeat("\u203A ", depth)) + state.Clock.Name, PlanBook.TitleOf(state.Clock.Device), state.SourceText + (state.Upstream is { } from ? $" (from {from.Name})" : ""),
            Reads(book, state), role, state.IsFree && state.Clock.Model.AccuracyPpm is { } ppm ? $"{Quantity.Number(ppm)} ppm" : "", Cell.Empty, Cell.Empty,
        ];
        return book.RowOf(cells, book.Plan.PlaceOf(state), book.Plan.PlaceOf(state.Clock.Device.Unit));
    }
}
