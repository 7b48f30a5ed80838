using System.Collections.Immutable;
using PatchLang.Facts;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>A plan's figures for a person to read: a table, followed by the declarations that would settle what is unknown.</summary>
internal sealed class FiguresText(Compilation compilation, SignalView view, Terminal terminal)
{
    /// <summary>What is missing for headroom in a plan that states no level at all.</summary>
    public const string NoLevels = "no `level` of any source, in a feed or in gear";

    private const int MostMissing = 6;

    private readonly bool hasLevels = HasLevels(compilation);

    /// <summary>Writes the table.</summary>
    public void Write()
    {
        var figures = compilation.FiguresIn(view);
        if (figures.IsEmpty)
        {
            terminal.Output.WriteLine("  No feed ends where somebody listens.");
            return;
        }
        TextTable.Write(terminal, hasLevels ? ["feed", "heard at", "after", "headroom", "hears twice"] : ["feed", "heard at", "after", "hears twice"], figures.Select(Row));
        var missing = figures.Select(f => Missing(f.Arrival)).OfType<string>().Distinct().ToList();
        foreach (var words in missing) Remark($"unknown: {words}");
        if (!hasLevels) return;
        var levels = figures.SelectMany(f => MissingLevels(view, f)).Distinct().ToList();
        foreach (var words in levels.Take(MostMissing)) Remark($"headroom unknown: {words}");
        if (levels.Count > MostMissing) Remark($"headroom unknown: {levels.Count - MostMissing} more; --format json has them all");
    }

    /// <summary>Whether a plan states the level of any source.</summary>
    public static bool HasLevels(Compilation compilation) => compilation.Facts.Views.Any(v => v.Levels.AreStated);

    /// <summary>What is missing for a feed's headroom to be known, without repetition.</summary>
    public static IEnumerable<string> MissingLevels(SignalView view, FeedFigures figures) =>
        figures.Headroom is { Decibels: not null, IsWhole: true } ? [] : figures.HeardAt.SelectMany(p => view.Levels.UnknownAt(p.Node)).Select(u => u.Words).Distinct();

    /// <summary>The elements of a feed that share these figures, as a plan would write them.</summary>
    public static string NameOf(FeedFigures figures) =>
        figures.Elements.Length == figures.Way.Count ? figures.Way.Name
        : $"{figures.Way.Name}[{Elements(figures)}]";

    private static string Elements(FeedFigures figures)
    {
        var (all, own) = (figures.Way.Elements, figures.Elements);
        var isRun = own.Length > 2 && all.NumberOf(own[0]) > 0 && all.NumberOf(own[^1]) - all.NumberOf(own[0]) == own.Length - 1;
        return isRun ? $"{all.NameOf(own[0])}..{all.NameOf(own[^1])}" : string.Join(", ", own.Select(all.NameOf));
    }

    /// <summary>The points at which the elements are heard, as a plan would write them.</summary>
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
        .. hasLevels ? [Left(figures.Headroom)] : ImmutableArray<string>.Empty,
        string.Join("; ", figures.Twice.Select(c => $"{compilation.Rig.PointOf(c.Shared.Origin)}, {Quantity.Milliseconds(c.Least, c.Most)} apart")),
    ];

    private static string After(Arrival arrival) =>
        arrival.IsBroken ? "unknown"
        : !arrival.IsKnown ? arrival.Latest > 0 ? $"at least {Quantity.Milliseconds(arrival.Latest)}" : "unknown"
        : Quantity.Milliseconds(arrival.Earliest, arrival.Latest);

    private static string Left(Headroom headroom) => headroom.Decibels switch
    {
        null => "unknown",
        { } left when headroom.IsWhole => $"{Level.Number(left)} dB",
        { } left => $"at most {Level.Number(left)} dB",
    };

    private void Remark(string words) => terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, Readable.Line($"  {words}")));

    private string? Missing(Arrival arrival) => arrival.Unknown is >= 0 and var edge ? compilation.Facts.Delays[edge].Unsettled!.Words : null;
}
