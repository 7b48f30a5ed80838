using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;

namespace PatchLang.Checks;

/// <summary>
/// Outputs and inputs whose full-scale levels differ, so that part of one's range can't be used. Nothing is lost where the input's gain
/// can make up the difference, or a pad is written. Gives PL0702 once per cable, or once for many alike.
/// </summary>
internal static class AlignmentCheck
{
    private const double Slight = 0.5; // dB; a smaller loss is negligible

    private const int MostAlike = 3;

    public static void Check(Plan plan, DraftBag bag)
    {
        var alike = new Dictionary<(double, double), List<(Connector From, Connector To, double Lost, Anchor At)>>();
        var seen = new HashSet<Anchor>();
        foreach (var cable in plan.Rig.Cables)
            Take(cable.From, cable.To, cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span)));
        var graph = plan.Graph;
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.FullScale))
        {
            if (graph.HopOf(edge).Kind != HopKind.ImpliedCable) continue;
            var (from, to) = (plan.Rig.PointOf(graph.FromOf(edge)), plan.Rig.PointOf(graph.ToOf(edge)));
            if (from.Socket.Levels.FullScale is not null && to.Socket.Levels.FullScale is not null) Take(from.Connector, to.Connector, plan.AnchorOf(edge));
        }
        foreach (var ((output, input), cables) in alike)
        {
            cables.RemoveAll(c => plan.IsAllowed(LevelFindings.RangeLost.Code, c.At.Statement));
            cables.Sort((a, b) => plan.Compare(a.At, b.At));
            var told = cables.Count > MostAlike ? 1 : cables.Count;
            for (var i = 0; i < told; i++) Say(cables[i], output, input, cables.Count - told);
        }

        void Take(Connector from, Connector to, Anchor at)
        {
            var (output, input) = (from.Socket.Levels, to.Socket.Levels);
            if (output.FullScale is not { } left || input.FullScale is not { } right || IsPadded(plan, to)) return;
            var least = Alignment.Difference(left, right, (output.FixedGain ?? 0) + (input.Gain?.Least ?? 0));
            var most = Alignment.Difference(left, right, (output.FixedGain ?? 0) + (input.Gain?.Most ?? 0));
            var lost = least > 0 ? least : most < 0 ? most : 0;
            if (Math.Abs(lost) <= Slight || !seen.Add(at)) return;
            if (!alike.TryGetValue((left, right), out var cables)) alike.Add((left, right), cables = []);
            cables.Add((from, to, lost, at));
        }

        void Say((Connector From, Connector To, double Lost, Anchor At) cable, double output, double input, int others)
        {
            var more = others == 0 ? "" : $", here and at {others} more cables";
            var (from, to) = ($"{cable.From.Device.Name}.{cable.From.Socket.Name}", $"{cable.To.Device.Name}.{cable.To.Socket.Name}");
            var lost = Level.Number(Math.Abs(cable.Lost)) + " dB";
            bag.Add(cable.Lost > 0
                ? LevelFindings.OutputTooFull(from, Level.Dbu(output).ToString(), to, Level.Dbu(input).ToString(), lost, more)
                : LevelFindings.InputTooFull(from, Level.Dbu(output).ToString(), to, Level.Dbu(input).ToString(), lost, more), cable.At);
        }
    }

    /// <summary>Whether a pad is written for an input in any act: then the plan already deals with the difference.</summary>
    private static bool IsPadded(Plan plan, Connector input)
    {
        var first = input.Device.NodeOf(input.Socket, Side.In, input.Number * input.Socket.PerConnector(Side.In));
        foreach (var view in plan.Facts.Views)
            if (view.Levels.Written.PadOf(first) is not null) return true;
        return false;
    }
}
