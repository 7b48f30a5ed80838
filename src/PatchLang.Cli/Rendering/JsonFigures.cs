using System.Collections.Immutable;
using System.Text.Json;
using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Graph;

namespace PatchLang.Cli.Rendering;

/// <summary>The figures of a plan as JSON of our own, for scripts. Times are in milliseconds; <c>NoHeadroom</c> says what would bring headroom where no feed has it.</summary>
internal sealed record JsonFigures(int Version, string? NoHeadroom, ImmutableArray<JsonFiguresOfActs> Views, ImmutableArray<JsonNetwork> Networks)
{
    /// <summary>The version of this layout: a reader may rely on every property that is here, as long as it is the same.</summary>
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

/// <summary>The figures in acts in which no hop differs; a plan without acts has one list, without names.</summary>
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
/// A feed, or some of its elements. Both times are null where something on the way is unknown; what is known of it is then
/// <c>AtLeast</c>. Headroom is in dB; it is null where something is unknown, and what is known leaves then <c>HeadroomAtMost</c>.
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

/// <summary>An origin that arrives by two ways, and how far they are apart.</summary>
internal sealed record JsonTwice(string Origin, double Least, double Most)
{
    public static JsonTwice Of(Rig rig, Comb comb) => new(rig.PointOf(comb.Shared.Origin).ToString(), Milliseconds(comb.Least), Milliseconds(comb.Most));

    /// <summary>Milliseconds, to the microsecond.</summary>
    public static double Milliseconds(double seconds) => Math.Round(seconds * 1e3, 3);
}
