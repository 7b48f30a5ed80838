using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>Go to definition, declaration and type definition, including into the shipped library.</summary>
internal static class NavigationFeature
{
    public static object? Definition(Snapshot snapshot, TextDocumentPositionParams parameters) =>
        Answer(snapshot, parameters, snapshot.Client.TakesDefinitionLinks, (queries, at) => queries.DeclarationsOf(at.Subject));

    public static object? Declaration(Snapshot snapshot, TextDocumentPositionParams parameters) =>
        Answer(snapshot, parameters, snapshot.Client.TakesDeclarationLinks, (queries, at) => queries.DeclarationsOf(at.Subject));

    public static object? TypeDefinition(Snapshot snapshot, TextDocumentPositionParams parameters) =>
        Answer(snapshot, parameters, snapshot.Client.TakesTypeDefinitionLinks, (queries, at) => queries.TypesOf(at));

    private static object? Answer(
        Snapshot snapshot, TextDocumentPositionParams parameters, bool asLinks,
        Func<PlanQueries, Occurrence, IEnumerable<(SyntaxTree Tree, TextSpan Name, TextSpan Whole)>> find)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var queries = view.Plan.Compilation.Queries;
        if (queries.At(view.Tree, view.OffsetOf(parameters.Position)) is not { } at) return null;
        var targets = find(queries, at).ToList();
        if (targets.Count == 0) return null;
        if (!asLinks) return targets.Select(t => view.LocationOf(t.Tree.Source, t.Name)).ToArray();
        return targets.Select(t => new LocationLink(
            snapshot.UriOf(view.Plan, t.Tree.Source), view.Positions.RangeOf(t.Tree.Source, t.Whole.To(t.Name)), view.Positions.RangeOf(t.Tree.Source, t.Name))
        {
            OriginSelectionRange = view.RangeOf(at.Span),
        }).ToArray();
    }
}
