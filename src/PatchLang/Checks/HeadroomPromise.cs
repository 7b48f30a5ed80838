using PatchLang.Declarations;
using PatchLang.Facts;
using PatchLang.Findings;
using PatchLang.Physics;
using PatchLang.Syntax;

namespace PatchLang.Checks;

/// <summary>
/// <c>expect X headroom &gt;= 6 dB</c>, checked where X ends, in every act. Unknown sources can only raise a level, so the known part may
/// break an "at least" or fulfil an "at most", and otherwise leaves the promise undecided. Gives PL1001 and PL1002.
/// </summary>
internal sealed class HeadroomPromise(Plan plan, ExpectStatement expect, DraftBag bag)
{
    private const double Rounding = 1e-6; // dB
    private const int MostParts = 6;
    private const int MostUnknown = 3;

    private readonly DraftBag broken = new();
    private Draft? undecided;
    private bool isFed;

    public void Check(ActSet acts)
    {
        foreach (var act in acts.Each)
        {
            CheckIn(act);
            if (!broken.IsEmpty) break;
        }
        if (!broken.IsEmpty)
            foreach (var draft in broken.Drafts) bag.Add(draft);
        else if (undecided is not null) bag.Add(undecided);
        else if (!isFed) bag.Add(ExpectationFindings.NothingThere(Written()), expect.At(expect.Span));
    }

    private void CheckIn(ActSet act)
    {
        if (Heard.SetsOf(plan, expect.Subject.Path, expect.File, expect.Statement, act, broken) is not { } subjects) return;
        var levels = plan.Facts.In(act).Levels;
        // The point with the least headroom is reported.
        (int Node, Headroom Headroom)? worst = null;
        foreach (var subject in subjects)
        {
            if (subject.Count == 0 || subject.Overlaps(plan.Graph.UnknownSources))
            {
                expect.IsLeftOpen = true;
                isFed = true; // it may be
            }
            foreach (var node in Heard.Last(plan, subject) ?? [])
            {
                if (!plan.Graph.IsUsed(node)) continue;
                isFed = true;
                if (levels.At(node).IsBroken)
                {
                    expect.IsLeftOpen = true;
                    continue; // the cause has a finding of its own
                }
                var headroom = levels.HeadroomAt(node);
                if (Holds(headroom) is not { } holds)
                {
                    undecided ??= Undecided(levels, node, headroom, act);
                    continue;
                }
                expect.ComesTo(headroom.Decibels!.Value);
                if (!holds && (worst is null || headroom.Decibels < worst.Value.Headroom.Decibels)) worst = (node, headroom);
            }
        }
        if (worst is { } found) broken.Add(Broken(levels, found.Node, found.Headroom, act));
    }

    /// <summary>Whether it holds; null where that depends on what is unknown.</summary>
    private bool? Holds(Headroom headroom)
    {
        if (headroom.Decibels is not { } left) return null;
        var isAtLeast = expect.Compare is TokenKind.GreaterEqual or TokenKind.Greater;
        var holds = expect.Compare switch
        {
            TokenKind.GreaterEqual => left >= expect.Bound - Rounding,
            TokenKind.Greater => left > expect.Bound + Rounding,
            TokenKind.LessEqual => left <= expect.Bound + Rounding,
            _ => left < expect.Bound - Rounding,
        };
        // With unknown parts, the headroom is smaller than this figure.
        return headroom.IsWhole || holds != isAtLeast ? holds : null;
    }

    private Draft Broken(Levels levels, int node, Headroom headroom, ActSet act)
    {
        var level = levels.At(node);
        var parts = levels.PartsAt(node);
        var allPeaks = parts.Length > 1 && level.AllPeaks is { } peaks ? $", and {peaks} if all peaks fell together" : "";
        return new Draft(
            ExpectationFindings.HeadroomAt(
                plan.Rig.PointOf(node).ToString(), Level.NumberBeside(headroom.Decibels!.Value, expect.Bound) + " dB", level.Known!.Value.ToString(), allPeaks, headroom.IsWhole, Wanted(), plan.During(act)),
            expect.At(expect.Span))
        {
            Related = [.. parts.Take(MostParts).Select(p => (plan.AnchorOf(p.Edge), $"{plan.Rig.PointOf(plan.Graph.FromOf(p.Edge))} brings {p.Level}"))],
            Acts = act,
        };
    }

    private Draft Undecided(Levels levels, int node, Headroom headroom, ActSet act)
    {
        var unknown = levels.UnknownAt(node);
        var missing = string.Join("; ", unknown.Take(MostUnknown).Select(u => u.Words)) + (unknown.Length > MostUnknown ? $"; and {unknown.Length - MostUnknown} more" : "");
        var known = headroom.Decibels is { } left ? $"; without that, {Level.Number(left)} dB are left" : "";
        return new Draft(ExpectationFindings.HeadroomUnknown(plan.Rig.PointOf(node).ToString(), missing, known, plan.During(act)), expect.At(expect.Span))
        {
            Related = [.. unknown.Where(u => u.Edge >= 0).Take(MostParts).Select(u => (plan.AnchorOf(u.Edge), "unknown from here on"))],
            Acts = act,
        };
    }

    private string Wanted() => expect.Compare switch
    {
        TokenKind.LessEqual => $"at most {Level.Number(expect.Bound)} dB",
        TokenKind.Less => $"less than {Level.Number(expect.Bound)} dB",
        TokenKind.GreaterEqual => $"at least {Level.Number(expect.Bound)} dB",
        _ => $"more than {Level.Number(expect.Bound)} dB",
    };

    private string Written() => expect.Statement.Text.Span.Slice(expect.Subject.Span.Start, expect.Subject.Span.Length).ToString();
}
