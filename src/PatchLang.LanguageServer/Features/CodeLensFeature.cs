using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;

namespace PatchLang.LanguageServer.Features;

/// <summary>Above a unit, how many feeds go through it; above a promise, whether it is held. They say something, and do nothing.</summary>
internal static class CodeLensFeature
{
    private const string NoCommand = "";

    public static CodeLens[]? Answer(Snapshot snapshot, TextDocumentParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var queries = view.Plan.Compilation.Queries;
        var lenses = new List<CodeLens>();
        for (var i = 0; i < view.Tree.Count; i++)
            if (view.Tree[i].Kind == NodeKind.Unit && queries.DeclaredAt(PlaceOf(view, i)) is UnitSymbol unit && queries.FeedsThrough(unit) is var count)
                lenses.Add(Lens(view, i, count == 1 ? "1 feed" : $"{count} feeds"));
            else if (view.Tree[i].Kind == NodeKind.Expect && view.Tree[i].Shape.IsRead)
                lenses.Add(Lens(view, i, StateOf(view, i)));
        return [.. lenses];
    }

    private static string StateOf(DocumentView view, int index)
    {
        var span = PlaceOf(view, index).Span;
        foreach (var finding in view.Plan.Compilation.Findings)
            if (finding.Place.Source == view.Source && span.Contains(finding.Place.Span))
                return finding.Kind == ExpectationFindings.Broken ? "broken" : finding.Kind == ExpectationFindings.Undecided ? "undecided" : "not asked";
        return "held";
    }

    private static Place PlaceOf(DocumentView view, int index) => new(view.Source, PlanQueries.SpanOf(view.Tree[index]).Moved(view.Tree.StartOf(index)));

    private static CodeLens Lens(DocumentView view, int index, string title) => new(view.RangeOf(PlaceOf(view, index).Span), new Command(title, NoCommand));
}
