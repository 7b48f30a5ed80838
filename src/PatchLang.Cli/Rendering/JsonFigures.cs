using System.Collections.Immutable;
using System.Text.Json;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;

namespace PatchLang.Cli.Rendering;

/// <summary>
/// A plan's figures as JSON in a format of our own, for scripts. Times are in
/// milliseconds; <c>NoHeadroom</c> names what is missing if no feed has headroom.
/// </summary>
internal sealed record JsonFigures(int Version, string? NoHeadroom, ImmutableArray<JsonFiguresOfActs> Views, ImmutableArray<JsonNetwork> Networks)
{
    /// <summary>The version of this layout: while it stays the same, readers may rely on every property.</summary>
    private const int Layout = 1;

    /// <summary>Writes the figures of some acts.</summary>
    public static void Write(Compilation compilation, ActSet acts, Terminal terminal) =>
        terminal.Output.WriteLine(JsonSerializer.Serialize(
            new JsonFigures(
                Layout,
                FiguresText.HasLevels(compilation) ? null : FiguresText.NoLevels,
                [.. compilation.Facts.Views.Where(v => v.Acts.Meets(acts)).Select(v => JsonFiguresOfActs.Of(compilation, v))],
                [.. compilation.Loads.All.Where(l => l.Acts.Meets(acts)).Select(l => JsonNetwork.Of(compilation, l))]),
            ReportJson.Plain.JsonFigures));
}

/// <summary>The figures in acts in which all hops are the same; a plan without acts has one entry, without names.</summary>
internal sealed record JsonFiguresOfActs(ImmutableArray<string> Acts, ImmutableArray<JsonFeedFigures> Feeds)
{
    public static JsonFiguresOfActs Of(Compilation compilation, SignalView view)
    {
        var hasLevels = FiguresText.HasLevels(compilation);
        return new JsonFiguresOfActs(
            [.. compilation.Acts.Where(a => view.Acts.Has(a.Number)).Select(a => a.Name)],
            [.. compilation.FiguresIn(view).Select(f => JsonFeedFigures.Of(compilation, view, f, hasLevels))]);
    }
}

/// <summary>
/// A feed, or some of its elements. If part of the delay is unknown, both times are null, and <c>AtLeast</c> is the known part. Headroom
/// is in dB; if part of the level is unknown, it is null, and <c>HeadroomAtMost</c> is what the known part leaves.
/// </summary>
internal sealed record JsonFeedFigures(
    string Feed, ImmutableArray<string> HeardAt, double? Earliest, double? Latest, double? AtLeast, string? Unknown,
    double? Headroom, double? HeadroomAtMost, ImmutableArray<string>? HeadroomUnknown, ImmutableArray<JsonTwice> HearsTwice)
{
    public static JsonFeedFigures Of(Compilation compilation, SignalView view, FeedFigures figures, bool hasLevels)
    {
        var (arrival, headroom) = (figures.Arrival, figures.Headroom);
        double? left = headroom.Decibels is { } decibels ? Math.Round(decibels, 2) : null;
        var isKnown = left is not null && headroom.IsWhole;
        return new JsonFeedFigures(
            FiguresText.NameOf(figures),
            [.. figures.HeardAt.Select(p => p.ToString())],
            arrival.IsKnown ? JsonTwice.Milliseconds(arrival.Earliest) : null,
            arrival.IsKnown ? JsonTwice.Milliseconds(arrival.Latest) : null,
            arrival.IsKnown ? null : JsonTwice.Milliseconds(arrival.Latest),
            arrival.Unknown is >= 0 and var edge ? compilation.Facts.Delays[edge].Unsettled!.Words : null,
            isKnown ? left : null,
            isKnown ? null : left,
            isKnown || !hasLevels ? null : [.. FiguresText.MissingLevels(view, figures)],
            [.. figures.Twice.Select(c => JsonTwice.Of(compilation.Rig, c))]);
    }
}

/// <summary>An origin that arrives by two ways, and how far apart they are.</summary>
internal sealed record JsonTwice(string Origin, double Least, double Most)
{
    public static JsonTwice Of(Rig rig, Comb comb) => new(rig.PointOf(comb.Shared.Origin).ToString(), Milliseconds(comb.Least), Milliseconds(comb.Most));

    /// <summary>Milliseconds, to the microsecond.</summary>
    public static double Milliseconds(double seconds) => Math.Round(seconds * 1e3, 3);
}
