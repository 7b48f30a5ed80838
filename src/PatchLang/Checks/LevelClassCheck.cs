using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Physics;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Levels that an input is not made for, judged by the sockets at both ends of a cable. Behind panels and splits, whose sockets have no
/// level class, the source's counts. Gives PL0703.
/// </summary>
internal static class LevelClassCheck
{
    /// <summary>The gain from which a line input can take a microphone, in dB. Common practice, no source.</summary>
    private const double LiftsMicrophones = 30;

    private const double Rounding = 0.05; // dB; less would not show in a printed figure

    public static void Check(Plan plan, DraftBag bag)
    {
        var graph = plan.Graph;
        var said = new HashSet<Anchor>();
        foreach (var cable in plan.Rig.Cables)
            Judge(ClassOf(cable.From.Socket), cable.From.ToString(), cable.To.Socket, cable.To.ToString(), () => cable.Statement.At(cable.Statement.From.Span.To(cable.Statement.To.Span)));
        foreach (var edge in graph.Signals.EdgesNear(SignalTraits.LevelClass))
        {
            var hop = graph.HopOf(edge);
            if (hop.Kind is not (HopKind.Cable or HopKind.ImpliedCable)) continue;
            var to = plan.Rig.PointOf(graph.ToOf(edge));
            if (to.Socket.Levels.Class == LevelClass.Any) continue;
            var from = plan.Rig.PointOf(graph.FromOf(edge));
            var own = ClassOf(from.Socket);
            if (own != LevelClass.Any)
            {
                var at = edge;
                if (hop.Kind == HopKind.ImpliedCable) Judge(own, from.ToString(), to.Socket, to.ToString(), () => plan.AnchorOf(at));
                continue;
            }
            if (SourceOf(plan, edge) is { } source)
            {
                var at = edge;
                Judge(ClassOf(source.Socket), source.ToString(), to.Socket, to.ToString(), () => plan.AnchorOf(at));
            }
        }

        void Judge(LevelClass gives, string output, Socket input, string into, Func<Anchor> at)
        {
            var takes = ClassOf(input);
            if (gives == LevelClass.Any || takes == LevelClass.Any || gives == takes || Mismatch(gives, output, input, into) is not var (message, severity)) return;
            var place = at();
            if (said.Add(place)) bag.Add(new Draft(message, place) { Severity = severity });
        }
    }

    private static LevelClass ClassOf(Socket socket) => socket.Levels.Class;

    private static (FindingMessage Message, Severity? Severity)? Mismatch(LevelClass gives, string output, Socket input, string into)
    {
        var takes = ClassOf(input);
        var (least, most) = input.Levels.Gain ?? (0, 0);
        var apart = LineLevel.ConsumerBelowProfessional;
        switch (gives)
        {
            case LevelClass.Speaker or LevelClass.Line100V:
                return (LevelFindings.SpeakerInto(output, into, Words(takes)), Severity.Error);
            case var _ when takes is LevelClass.Speaker or LevelClass.Line100V:
                return (LevelFindings.IntoSpeaker(output, into, Words(gives)), null);
            case LevelClass.Mic when takes is LevelClass.Line or LevelClass.Consumer && most < LiftsMicrophones:
                return (LevelFindings.MicIntoLine(output, into, Words(takes)), null);
            // A combination connector takes an instrument at its jack.
            case LevelClass.Instrument when input.Settings["connector"]?.Text != "combo":
                return (LevelFindings.InstrumentInto(output, into, Words(takes)), null);
            case LevelClass.Consumer when takes == LevelClass.Line && most < apart - Rounding:
                return (LevelFindings.ConsumerIntoProfessional(output, into, Level.Number(apart) + " dB"), Severity.Note);
            case LevelClass.Line when takes == LevelClass.Consumer && least > Rounding - apart:
                return (LevelFindings.ProfessionalIntoConsumer(output, into, Level.Number(apart) + " dB"), Severity.Note);
            default:
                return null;
        }
    }

    private static string Words(LevelClass levels) => levels switch
    {
        LevelClass.Mic => "microphone level",
        LevelClass.Line => "line level",
        LevelClass.Consumer => "the consumer's line level",
        LevelClass.Instrument => "an instrument's pickup",
        LevelClass.Speaker => "loudspeaker level",
        _ => "a 100 V line",
    };

    /// <summary>
    /// The output that a signal comes from through sockets without a level class; null where it has none either, or several sources lead there.
    /// </summary>
    private static GraphPoint? SourceOf(Plan plan, int edge)
    {
        var acts = plan.Graph.ActsOf(edge);
        var node = plan.Graph.FromOf(edge);
        for (var steps = 0; steps < 64; steps++)
        {
            var point = plan.Rig.PointOf(node);
            if (point.Socket.IsInner) return null;
            if (ClassOf(point.Socket) != LevelClass.Any) return point.Side == Side.Out ? point : null;
            var before = -1;
            foreach (var into in plan.Graph.Into(node))
            {
                if (!plan.Graph.ActsOf(into).Meets(acts)) continue;
                if (before >= 0 && plan.Graph.FromOf(into) != plan.Graph.FromOf(before)) return null;
                before = into;
            }
            if (before < 0) return null;
            // A converter or an amplifier sets a level of its own.
            if (!plan.Graph.HopOf(before).IsLink && (point.Socket.Levels.FullScale is not null || point.Socket.Levels.FixedGain is < -LiftsMicrophones / 2 or > LiftsMicrophones / 2)) return null;
            node = plan.Graph.FromOf(before);
        }
        return null;
    }
}
