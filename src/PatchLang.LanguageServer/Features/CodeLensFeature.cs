using System.Text.Json;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;
using PatchLang.Queries;
using PatchLang.Syntax;

namespace PatchLang.LanguageServer.Features;

/// <summary>
/// Code lenses: above a unit, the number of its feeds and its free channels; above an expectation, its result, with a command for details.
/// </summary>
internal static class CodeLensFeature
{
    private const string NoCommand = "";

    public static CodeLens[]? Answer(Snapshot snapshot, TextDocumentParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var queries = view.Plan.Compilation.Queries;
        var lenses = new List<CodeLens>();
        for (var i = 0; i < view.Tree.Count; i++)
            if (view.Tree[i].Kind == NodeKind.Unit && PlaceOf(view, i) is var place && queries.DeclaredAt(place) is UnitSymbol unit)
            {
                var range = view.RangeOf(place.Span);
                var count = queries.FeedsThrough(unit);
                lenses.Add(new CodeLens(range, new Command(count == 1 ? "1 feed" : $"{count} feeds", NoCommand)));
                if (FreeChannels.Summary(queries, unit) is { } free) lenses.Add(new CodeLens(range, new Command($"free: {free}", NoCommand)));
            }
        foreach (var expectation in view.Plan.Compilation.Expectations)
        {
            if (expectation.Place.Source != view.Source) continue;
            var range = view.RangeOf(expectation.Place.Span);
            var question = JsonSerializer.SerializeToElement(new PlanQuestion { Uri = view.Uri, Range = range }, ProtocolJson.Default.PlanQuestion);
            lenses.Add(new CodeLens(range, new Command(ExpectationsFeature.Title(expectation), ExpectationsFeature.Command) { Arguments = [question] }));
        }
        return [.. lenses];
    }

    private static Place PlaceOf(DocumentView view, int index) => new(view.Source, PlanQueries.SpanOf(view.Tree[index]).Moved(view.Tree.StartOf(index)));
}
