using System.Collections.Immutable;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>The figures of a plan for a person: a table, and below it what would settle what is unknown.</summary>
internal sealed class FiguresText(Compilation compilation, SignalView view, Terminal terminal)
{
    private const int WidestColumn = 44;

    /// <summary>Writes the table.</summary>
    public void Write()
    {
        var figures = compilation.FiguresIn(view);
        if (figures.IsEmpty)
        {
            terminal.Output.WriteLine("  No feed ends where somebody listens.");
            return;
        }
        List<ImmutableArray<string>> rows = [["feed", "heard at", "after", "hears twice"], .. figures.Select(Row)];
        var widths = Enumerable.Range(0, rows[0].Length).Select(c => Math.Min(WidestColumn, rows.Max(r => r[c].Length))).ToArray();
        for (var i = 0; i < rows.Count; i++)
        {
            var line = "  " + string.Join("  ", rows[i].Select((cell, c) => cell.PadRight(widths[c]))).TrimEnd();
            terminal.Output.WriteLine(i == 0 ? terminal.Paint(Tone.Quiet, line) : Readable.Line(line));
        }
        var missing = figures.Select(f => Missing(f.Arrival)).OfType<string>().Distinct().ToList();
        foreach (var words in missing) terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, Readable.Line($"  unknown: {words}")));
    }

    /// <summary>The elements of a feed that come to the same, as a plan would write them.</summary>
    public static string NameOf(FeedFigures figures) =>
        figures.Elements.Length == figures.Way.Count ? figures.Way.Name
        : $"{figures.Way.Name}[{Elements(figures)}]";

    private static string Elements(FeedFigures figures)
    {
        var (all, own) = (figures.Way.Elements, figures.Elements);
        var isRun = own.Length > 2 && all.NumberOf(own[0]) > 0 && all.NumberOf(own[^1]) - all.NumberOf(own[0]) == own.Length - 1;
        return isRun ? $"{all.NameOf(own[0])}..{all.NameOf(own[^1])}" : string.Join(", ", own.Select(all.NameOf));
    }

    /// <summary>The points at which they are heard, as a plan would write them.</summary>
    public static string PlaceOf(FeedFigures figures)
    {
        var (first, last) = (figures.HeardAt[0], figures.HeardAt[^1]);
        return first == last ? first.ToString() : $"{first.Device.Name}.{first.Socket.Name}[{first.Channel + 1}..{last.Channel + 1}]";
    }

    private ImmutableArray<string> Row(FeedFigures figures) =>
    [
        NameOf(figures),
        PlaceOf(figures),
        After(figures.Arrival),
        string.Join("; ", figures.Twice.Select(c => $"{compilation.Rig.PointOf(c.Shared.Origin)}, {Quantity.Milliseconds(c.Least, c.Most)} apart")),
    ];

    private static string After(Arrival arrival) =>
        arrival.IsBroken ? "unknown"
        : !arrival.IsKnown ? arrival.Latest > 0 ? $"at least {Quantity.Milliseconds(arrival.Latest)}" : "unknown"
        : Quantity.Milliseconds(arrival.Earliest, arrival.Latest);

    private string? Missing(Arrival arrival) => arrival.Unknown is >= 0 and var edge ? compilation.Facts.Delays[edge].Unsettled!.Words : null;
}
