using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Points that clip, computed from source levels and written gains, and written figures that are impossible. Gives PL0701, PL0704 and PL0706.
/// </summary>
internal static class LevelsCheck
{
    /// <summary>The headroom for peaks that the gain offered as a fix leaves, in dB. Common practice, no source.</summary>
    private const double LeftForPeaks = 12;

    public static void Check(Plan plan, DraftBag bag)
    {
        var clips = new Dictionary<Anchor, List<(Clip Clip, ActSet Acts)>>();
        var mistakes = new Dictionary<(Setting, GraphPoint), (LevelMistake Mistake, ActSet Acts)>();
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Levels))
            if (binding.Symbol is FeedSymbol { StatesLevels: true } feed) CheckFigures(feed, bag);
        foreach (var view in plan.Facts.Views)
        {
            foreach (var mistake in view.Levels.Written.Mistakes)
            {
                var key = (mistake.Written.Setting, mistake.Point);
                mistakes[key] = (mistake, mistakes.TryGetValue(key, out var known) ? known.Acts | view.Acts : view.Acts);
            }
            foreach (var clip in view.Levels.Clips)
            {
                var at = At(plan, clip.Node, view.Acts);
                if (!clips.TryGetValue(at, out var here)) clips.Add(at, here = []);
                here.Add((clip, view.Acts));
            }
        }
        foreach (var (mistake, acts) in mistakes.Values) Say(plan, mistake, acts, bag);
        foreach (var (at, here) in clips) Say(plan, at, here, bag);
    }

    private static void CheckFigures(FeedSymbol feed, DraftBag bag)
    {
        foreach (var setting in feed.Settings.All)
        {
            if (setting.Name is not ("level" or "gain" or "pad" or "trim" or "fader") || setting is not { Value: { } value, High: { } high }) continue;
            if (high != value) bag.Add(LevelFindings.NotARange(setting.Name), feed.At(setting.Span));
            else if (setting.Name == "pad" && value is { Measure: Measure.Gain, Value: <= 0 }) bag.Add(LevelFindings.NoLoss(Level.Number(value.Value) + " dB"), feed.At(setting.Span));
        }
    }

    /// <summary>Where to report a node: at the first hop that leads to it in some acts, else at the origin that starts there.</summary>
    private static Anchor At(Plan plan, int node, ActSet acts)
    {
        var first = -1;
        foreach (var edge in plan.Graph.Into(node))
            if (plan.Graph.ActsOf(edge).Meets(acts) && (first < 0 || plan.CompareEdges(edge, first) < 0)) first = edge;
        if (first >= 0) return plan.AnchorOf(first);
        foreach (var edge in plan.Graph.OutOf(node))
            if (plan.Graph.ActsOf(edge).Meets(acts) && (first < 0 || plan.CompareEdges(edge, first) < 0)) first = edge;
        return plan.AnchorAt(first, node);
    }

    private static void Say(Plan plan, Anchor at, List<(Clip Clip, ActSet Acts)> here, DraftBag bag)
    {
        // Of all channels and acts at this hop, the one that clips most is reported.
        var worst = here.MaxBy(c => c.Clip.Over).Clip;
        var acts = here.Where(c => c.Clip.Node == worst.Node && Math.Abs(c.Clip.Over - worst.Over) < 0.05).Aggregate(ActSet.None, (all, c) => all | c.Acts);
        var channels = here.Select(c => c.Clip.Node).Distinct().Count() - 1;
        var point = plan.Rig.PointOf(worst.Node);
        var others = channels switch
        {
            0 => "",
            1 => ", and so does 1 more channel",
            _ => $", and so do {channels} more channels",
        };
        var levels = plan.Facts.In(acts).Levels;
        var over = Level.Number(worst.Over) + " dB";
        var gain = point.Side == Side.In && worst.Level.Reference == LevelReference.Line ? HopGain.OfInput(levels.Written, point) ?? 0 : 0;
        var with = gain == 0 ? "" : $" with {Level.Number(gain)} dB of gain";
        bag.Add(new Draft(
            worst.IsAtLeastGain
                ? LevelFindings.ClipsAnyway(point.ToString(), worst.Level.ToString(), worst.Most.ToString(), over, others, plan.During(acts))
                : LevelFindings.ClipsAt(point.ToString(), worst.Level.ToString(), with, worst.Most.ToString(), over, others, plan.During(acts)),
            at)
        {
            Related = Related(),
            Fixes = Lower(),
            Acts = acts,
        });

        System.Collections.Immutable.ImmutableArray<(Anchor, string)> Related() =>
            levels.Written.TryGain(worst.Node, out var written) ? [(written.Feed.At(written.Setting.Span), "its gain is written here")] : [];

        // A gain that leaves headroom for peaks, if the input can be set that low.
        System.Collections.Immutable.ImmutableArray<FixDraft> Lower()
        {
            if (!levels.Written.TryGain(worst.Node, out var written)) return [];
            var lower = Math.Floor(written.Decibels - worst.Over - LeftForPeaks);
            if (lower < point.Socket.Levels.Gain!.Value.Least) return [];
            return [new FixDraft($"set the gain to {Level.Number(lower)} dB, which leaves {Level.Number(written.Decibels - worst.Over - lower)} dB for peaks", false, written.Feed.At(written.Setting.Span), $"gain = {Level.Number(lower)} dB")];
        }
    }

    private static void Say(Plan plan, LevelMistake mistake, ActSet acts, DraftBag bag)
    {
        var (decibels, feed, setting) = mistake.Written;
        var at = feed.At(setting.Span);
        switch (mistake.Sort)
        {
            case LevelMistakeSort.NoSource:
                bag.Add(LevelFindings.LevelOfOther(feed.Name), at);
                break;
            case LevelMistakeSort.NothingToSet:
                bag.Add(LevelFindings.NothingHas(feed.Name, setting.Name, setting.Name switch
                {
                    "gain" => "no input whose gain can be set",
                    "pad" => "no analogue input that says what it takes",
                    "trim" => "no strip of its own",
                    "fader" => "no strip or bus of its own",
                    _ => "no socket it starts at",
                }), at);
                break;
            case LevelMistakeSort.OutOfRange:
                var (least, most) = mistake.Point.Socket.Levels.Gain!.Value;
                bag.Add(new Draft(LevelFindings.OutsideRange(mistake.Point.ToString(), decibels, least, most), at)
                {
                    Related = [(new Anchor(mistake.Point.Device.Model.Gear.Statement, mistake.Point.Socket.Declaration.NameSpan), "its gain is declared here")],
                    Fixes = [new FixDraft($"write {Level.Number(Math.Clamp(decibels, least, most))} dB", false, at, $"gain = {Level.Number(Math.Clamp(decibels, least, most))} dB")],
                });
                break;
            case LevelMistakeSort.Contradicts:
                bag.Add(new Draft(
                    LevelFindings.TwoFigures(setting.Name, mistake.Point.ToString(), Figure(mistake.Written), feed.Name, Figure(mistake.Other), mistake.Other.Feed.Name, plan.During(acts)), at)
                {
                    Related = [(mistake.Other.Feed.At(mistake.Other.Setting.Span), "the other figure")],
                    Acts = acts,
                });
                break;
        }

        static string Figure(WrittenLevel written) => Level.Of(written.Setting.Value)?.ToString() ?? Level.Number(written.Decibels) + " dB";
    }
}
