using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>Everything found in a plan, each at its place in the text, in order.</summary>
internal static class FindingList
{
    public static ImmutableArray<Finding> Of(Plan plan)
    {
        var drafts = new List<Draft>(plan.Files.Findings.Drafts);
        drafts.AddRange(plan.Foundation.Findings.Drafts);
        drafts.AddRange(plan.Rig.Findings.Drafts);
        drafts.AddRange(plan.Signals.Findings.Drafts);
        foreach (var binding in plan.Signals.Pages.Near(SignalTraits.Findings)) drafts.AddRange(binding.Findings);
        drafts.AddRange(Checked(plan));
        for (var i = 0; i < drafts.Count; i++) drafts[i] = AtTheLater(plan, drafts[i]);
        var unread = new UnreadStatements(plan);
        drafts = AllowCheck.Apply(plan, AlikeFindings.WithoutConsequences(drafts, unread.Explain(drafts)));
        drafts = AlikeFindings.Fold(plan, unread.WithoutFollowers(drafts));

        var findings = ImmutableArray.CreateBuilder<(int File, Finding Finding)>();
        for (var f = 0; f < plan.Files.Trees.Length; f++)
        {
            if (plan.Files.Files[f].IsLibrary) continue; // the library has no findings, so there is no need to read it in full
            foreach (var finding in plan.Files.Trees[f].Findings) findings.Add((f, finding));
        }
        var seen = new HashSet<(FindingMessage, Anchor)>();
        foreach (var draft in drafts)
            if (seen.Add((draft.Message, draft.At))) findings.Add((plan.PlaceOf(draft.At.Statement).File, Place(plan, draft)));
        return
        [
            .. findings
                .OrderBy(f => f.File)
                .ThenBy(f => f.Finding.Place.Span.Start)
                .ThenBy(f => f.Finding.Code, StringComparer.Ordinal)
                .ThenBy(f => f.Finding.Message, StringComparer.Ordinal)
                .Select(f => f.Finding),
        ];
    }

    /// <summary>
    /// Adds the findings of a host's own rules, without those that the plan allows. In the order of the plan; findings outside its files come last.
    /// </summary>
    public static ImmutableArray<Finding> With(Plan plan, ImmutableArray<Finding> found, IEnumerable<Finding> more)
    {
        var files = plan.Files.Trees.Select((t, i) => (t.Source, i)).ToDictionary(p => p.Source, p => p.i);
        return
        [
            .. found.Concat(more.Where(f => !AllowCheck.IsMeant(plan, f)))
                .OrderBy(f => files.GetValueOrDefault(f.Place.Source, int.MaxValue))
                .ThenBy(f => f.Place.Source.Path, StringComparer.Ordinal)
                .ThenBy(f => f.Place.Span.Start)
                .ThenBy(f => f.Code, StringComparer.Ordinal)
                .ThenBy(f => f.Message, StringComparer.Ordinal),
        ];
    }

    /// <summary>Of two declarations of one name, reports the later one, whatever order they were read in.</summary>
    private static Draft AtTheLater(Plan plan, Draft draft) =>
        draft.Message.Kind == NameFindings.DuplicateName && draft.Related is [(var first, NameFindings.FirstHere)] && plan.Compare(draft.At, first) < 0
            ? draft with { At = first, Related = [(draft.At, NameFindings.FirstHere)] }
            : draft;

    // The checks are independent, so for a large plan several run at once. Their findings are put together in this order.
    private static readonly Action<Plan, DraftBag>[] Checks =
    [
        SourcesCheck.Check,
        SharedSourceCheck.Check,
        SharedBusCheck.Check,
        SharedStripCheck.Check,
        LeadingActsCheck.Check,
        LinksCheck.Check,
        LimitsCheck.Check,
        BlocksCheck.Check,
        FeedbackCheck.Check,
        RatesCheck.Check,
        TapsCheck.Check,
        ClocksCheck.Check,
        StandbyCheck.Check,
        CaptureCheck.Check,
        TerminationCheck.Check,
        LevelsCheck.Check,
        AlignmentCheck.Check,
        LevelClassCheck.Check,
        HouseFaderCheck.Check,
        NetworkCheck.Check,
        GroupCheck.Check,
        DelayCheck.Check,
        CombCheck.Check,
        PerformersCheck.Check,
        CablingCheck.Check,
        CableDirectionCheck.Check,
        ReserveCheck.Check,
        ExpectCheck.Check,
        LooseEndsCheck.Check,
        PhantomCheck.Check,
        SupplyCheck.CheckCables,
        PrivateCheck.Check,
    ];

    private static IEnumerable<Draft> Checked(Plan plan)
    {
        var bags = Array.ConvertAll(Checks, _ => new DraftBag());
        SideBySide.Do(Checks.Length, plan.Graph.EdgeCount, i => Checks[i](plan, bags[i]));
        return bags.SelectMany(b => b.Drafts);
    }

    private static Finding Place(Plan plan, Draft draft)
    {
        var finding = new Finding(draft.Message.Kind, draft.Message.Text, PlaceOf(draft.At, null));
        return finding with
        {
            Severity = draft.Severity ?? finding.Severity,
            Related = [.. draft.Related.Select(r => PlaceOf(r.At, r.Remark))],
            Fixes = [.. draft.Fixes.Where(f => f.Edits.All(e => !SourceOf(e.At.Statement).IsLibrary)).Select(f => new Fix(f.Title, f.IsSafe, [.. f.Edits.Select(Edit)]))],
        };

        SourceText SourceOf(Statement statement) => plan.Files.Trees[plan.PlaceOf(statement).File].Source;

        TextSpan SpanOf(Anchor anchor)
        {
            var (file, index) = plan.PlaceOf(anchor.Statement);
            return anchor.Span.Moved(plan.Files.Trees[file].StartOf(index));
        }

        Place PlaceOf(Anchor anchor, string? remark) => new(SourceOf(anchor.Statement), SpanOf(anchor), remark);

        TextEdit Edit(EditDraft edit) => new(SourceOf(edit.At.Statement), SpanOf(edit.At), edit.NewText);
    }
}
