using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;

namespace PatchLang.Checks;

/// <summary>
/// A cable between two-way sockets that is written the wrong way round: it carries no signal and no clock, while signals between the two
/// sockets go the other way, where there is no cable. Gives PL0403.
/// </summary>
internal static class CableDirectionCheck
{
    public static void Check(Plan plan, DraftBag bag)
    {
        foreach (var cable in plan.Rig.Cables)
        {
            if (cable.BothWays || cable.Format.Joins != Joining.PointToPoint || !cable.From.Socket.Has(Side.In) || !cable.To.Socket.Has(Side.Out)) continue;
            if (!IsUsed(plan, cable.To with { Side = Side.Out }, cable.From with { Side = Side.In }, HopKind.ImpliedCable)) continue;
            if (IsUsed(plan, cable.From, cable.To, HopKind.Cable) || GivesTime(plan, cable)) continue;
            var statement = cable.Statement;
            var (from, to) = (statement.At(statement.From.Span), statement.At(statement.To.Span));
            bag.Add(new Draft(FormatFindings.AllTheOtherWay(cable.From.ToString(), cable.To.ToString()), statement.At(statement.From.Span.To(statement.To.Span)))
            {
                Severity = Severity.Warning,
                Fixes = [new FixDraft("turn the cable round", false, [new EditDraft(from, Written(to)), new EditDraft(to, Written(from))])],
                Causes = [$"the cable at {plan.PlaceOf(statement.Statement)}"],
                Explains = [MissingCables.Between($"{cable.From.Device.Name}.{cable.From.Socket.Name}", $"{cable.To.Device.Name}.{cable.To.Socket.Name}")],
            });
        }
    }

    private static string Written(Anchor at) => at.Statement.Text.Span.Slice(at.Span.Start, at.Span.Length).ToString();

    /// <summary>Whether some hop of this kind goes from one connector to the other.</summary>
    private static bool IsUsed(Plan plan, Connector from, Connector to, HopKind kind)
    {
        var channels = Math.Min(from.Socket.PerConnector(Side.Out), from.Socket.CountOn(Side.Out) - from.Number * from.Socket.PerConnector(Side.Out));
        for (var i = 0; i < channels; i++)
            foreach (var edge in plan.Graph.OutOf(from.Device.NodeOf(from.Socket, Side.Out, from.Number * from.Socket.PerConnector(Side.Out) + i)))
                if (plan.Graph.HopOf(edge).Kind == kind && plan.Rig.PointOf(plan.Graph.ToOf(edge)).Connector == to) return true;
        return false;
    }

    private static bool GivesTime(Plan plan, Cable cable)
    {
        foreach (var view in plan.Clocks.Views)
            foreach (var state in view.States)
                if (state.Clock.Device == cable.To.Device && state.Source.Socket == cable.To.Socket) return true;
        return false;
    }
}
