using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// <c>expect X latency &lt;= 5 ms</c> and <c>latency from Y</c>: an upper bound is compared with the latest arrival, a lower bound with
/// the earliest. An unknown delay leaves the promise undecided, unless the known part decides it. Gives PL1001 and PL1002.
/// </summary>
internal sealed class LatencyPromise(Plan plan, ExpectStatement expect, WaySearches searches, DraftBag bag)
{
    private const double Rounding = 1e-9; // a nanosecond, in seconds
    private Draft? undecided;
    private bool isHeard;

    public void Check(ActSet acts)
    {
        var said = new DraftBag();
        ActSet isSilentIn = default;
        foreach (var act in acts.Each)
        {
            isHeard = false;
            var isAsked = CheckIn(act, said);
            if (!said.IsEmpty) break;
            if (isAsked && !isHeard) isSilentIn |= act;
        }
        if (said.IsEmpty && undecided is not null) said.Add(undecided);
        if (said.IsEmpty && !isSilentIn.IsEmpty && expect.Others is [var from])
            said.Add(new Draft(ExpectationFindings.HearsNothingOf(Written(expect.Subject.Span), Written(from.Span), plan.During(isSilentIn)), expect.At(expect.Span)) { Acts = isSilentIn });
        else if (said.IsEmpty && isSilentIn == acts)
            said.Add(ExpectationFindings.NothingThere(Written(expect.Subject.Span)), expect.At(expect.Span));
        foreach (var draft in said.Drafts) bag.Add(draft);
    }

    /// <summary>Whether everything that the promise names exists in an act.</summary>
    private bool CheckIn(ActSet act, DraftBag said)
    {
        if (Heard.SetsOf(plan, expect.Subject.Path, expect.File, expect.Statement, act, said) is not { } subjects) return false;
        HashSet<int>? at = null;
        if (expect.Subject.At is { } port)
        {
            if (PointsAt(port, act, said) is not { } nodes) return false;
            at = nodes;
        }
        HashSet<int>? starts = null;
        foreach (var from in expect.Others)
        {
            if (Heard.SetsOf(plan, from, expect.File, expect.Statement, act, said) is not { } sets) return false;
            starts ??= [];
            foreach (var set in sets) starts.UnionWith(set.Where(n => !IsInside(n, set, act)));
        }
        var search = searches.In(plan.Facts.In(act), starts);
        foreach (var subject in subjects)
        {
            LeaveOpenIfUnknown(subject, starts is null);
            foreach (var node in at is null ? Heard.Last(plan, subject) ?? [] : subject.Where(at.Contains))
            {
                if (starts is null && !plan.Graph.IsUsed(node)) continue;
                if (search.To(node) is not { } passage) continue;
                isHeard = true;
                Judge(node, passage, act, said);
                if (!said.IsEmpty) return true;
            }
        }
        return true;
    }

    /// <summary>
    /// Leaves the promise open if the subject's nodes are unknown, or a source that could not be resolved leads to one of them: it may be fed.
    /// </summary>
    private void LeaveOpenIfUnknown(HashSet<int> subject, bool isWhole)
    {
        if (!isWhole || !(subject.Count == 0 || subject.Overlaps(plan.Graph.UnknownSources))) return;
        expect.IsLeftOpen = true;
        isHeard = true;
    }

    private HashSet<int>? PointsAt(PathExpression port, ActSet act, DraftBag said)
    {
        var start = plan.Signals.Paths.Start(port, expect.File, expect.Statement, act, said);
        if (start.Symbol is not UnitSymbol || plan.Signals.Paths.Socket(port, start, expect.Statement, said) is not { } target) return null;
        var nodes = new HashSet<int>();
        foreach (var side in (ReadOnlySpan<Side>)[Side.In, Side.Out, Side.Inner])
            for (var i = 0; target.Socket.CountOn(side) > 0 && i < target.WidthOn(side); i++)
            {
                var (device, channel) = target.At(i, side);
                if (channel < target.Socket.CountOn(side)) nodes.Add(device.NodeOf(target.Socket, side, channel));
            }
        return nodes;
    }

    // A feed's sound counts from where the feed begins.
    private bool IsInside(int node, HashSet<int> set, ActSet act)
    {
        foreach (var edge in plan.Graph.Into(node))
            if (plan.Graph.ActsOf(edge).Meets(act) && set.Contains(plan.Graph.FromOf(edge))) return true;
        return false;
    }

    private void Judge(int node, Passage passage, ActSet act, DraftBag said)
    {
        var arrival = passage.Arrival;
        if (arrival.IsBroken)
        {
            expect.IsLeftOpen = true;
            return; // the cause has a finding of its own
        }
        var isAtMost = expect.Compare is TokenKind.LessEqual or TokenKind.Less;
        var value = isAtMost ? arrival.Latest : arrival.Earliest;
        var holds = expect.Compare switch
        {
            TokenKind.LessEqual => value <= expect.Bound + Rounding,
            TokenKind.Less => value < expect.Bound - Rounding,
            TokenKind.GreaterEqual => value >= expect.Bound - Rounding,
            _ => value > expect.Bound + Rounding,
        };
        // Unknown delays can only add to the figure.
        if (!arrival.IsKnown && holds == isAtMost)
        {
            undecided ??= Undecided(node, arrival, act);
            return;
        }
        expect.ComesTo(value);
        if (holds) return;
        var way = isAtMost ? passage.Slowest : passage.Quickest;
        var from = way.IsEmpty ? node : plan.Graph.FromOf(way[0]);
        said.Add(new Draft(
            ExpectationFindings.ArrivesAt(
                plan.Rig.PointOf(node).ToString(), plan.Rig.PointOf(from).ToString(), Quantity.Milliseconds(value), isAtMost, arrival.IsKnown, Wanted(), plan.During(act)),
            expect.At(expect.Span))
        {
            Related = [.. HopByHop.Of(plan, way)],
            Acts = act,
        });
    }

    private Draft Undecided(int node, Arrival arrival, ActSet act)
    {
        var edge = arrival.Unknown!.Value;
        var unsettled = plan.Facts.Delays[edge].Unsettled!;
        return new Draft(
            ExpectationFindings.LatencyUnknown(plan.Rig.PointOf(node).ToString(), unsettled.Words, Quantity.Milliseconds(arrival.Latest), plan.During(act)), expect.At(expect.Span))
        {
            Related =
            [
                (plan.AnchorOf(edge), $"{plan.Rig.PointOf(plan.Graph.FromOf(edge))} -> {plan.Rig.PointOf(plan.Graph.ToOf(edge))}: unknown"),
                (unsettled.In.Anchor, $"it is missing in {unsettled.In.Name}"),
            ],
            Acts = act,
        };
    }

    private string Wanted() => expect.Compare switch
    {
        TokenKind.LessEqual => $"at most {Quantity.Milliseconds(expect.Bound)}",
        TokenKind.Less => $"less than {Quantity.Milliseconds(expect.Bound)}",
        TokenKind.GreaterEqual => $"at least {Quantity.Milliseconds(expect.Bound)}",
        _ => $"more than {Quantity.Milliseconds(expect.Bound)}",
    };

    private string Written(TextSpan span) => expect.Statement.Text.Span.Slice(span.Start, span.Length).ToString();
}
