using PatchLang.Declarations;
using PatchLang.Facts;

namespace PatchLang.Scripting.Model;

/// <summary>The level at a place.</summary>
/// <param name="Known">The level of everything known to arrive there; null if nothing is known.</param>
/// <param name="IsWhole">Whether everything is known. If not, the level is a lower bound.</param>
public readonly record struct SoundLevel(Physics.Level? Known, bool IsWhole)
{
    /// <summary>The level as findings write it: <c>+4 dBu</c>, <c>at least +4 dBu</c>, <c>unknown</c>.</summary>
    public override string ToString() => Known is { } level ? IsWhole ? level.ToString() : $"at least {level}" : "unknown";
}

/// <summary>The compiler's facts about a node, combined over several views.</summary>
internal static class NodeFacts
{
    public static Latency LatencyAt(Rig rig, int node, ActSet acts)
    {
        var (earliest, latest, isKnown, isAny) = (double.PositiveInfinity, 0.0, true, false);
        foreach (var view in ViewsOf(rig, acts))
        {
            if (!view.IsUsed(node)) continue;
            var arrival = view.ArrivalAt(node);
            (earliest, latest, isKnown, isAny) = (Math.Min(earliest, arrival.Earliest), Math.Max(latest, arrival.Latest), isKnown && arrival.IsKnown, true);
        }
        return isAny ? Latency.OfSeconds(earliest, latest, isKnown) : default(Latency) with { IsKnown = true };
    }

    public static SoundLevel LevelAt(Rig rig, int node, ActSet acts)
    {
        Physics.Level? most = null;
        var isWhole = true;
        foreach (var view in ViewsOf(rig, acts))
        {
            if (!view.IsUsed(node)) continue;
            var at = view.Levels.At(node);
            isWhole &= at.IsWhole;
            if (at.Known is { } level && (most is not { } before || level.Decibels > before.Decibels)) most = level;
        }
        return new SoundLevel(most, isWhole && most is not null);
    }

    public static Decibels? HeadroomAt(Rig rig, int node, ActSet acts)
    {
        double? least = null;
        foreach (var view in ViewsOf(rig, acts))
        {
            if (!view.IsUsed(node)) continue;
            var headroom = view.Levels.HeadroomAt(node);
            if (headroom is not { Decibels: { } left, IsWhole: true }) return null;
            least = Math.Min(least ?? left, left);
        }
        return least is { } decibels ? new Decibels(decibels) : null;
    }

    private static IEnumerable<SignalView> ViewsOf(Rig rig, ActSet acts)
    {
        foreach (var view in rig.Plan.Facts.Views)
            if (view.Acts.Meets(acts)) yield return view;
    }
}
