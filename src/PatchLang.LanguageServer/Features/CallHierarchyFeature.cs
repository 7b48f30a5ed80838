using PatchLang.Declarations;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;
using PatchLang.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>
/// The signal flow as a call hierarchy: a feed "calls" the feeds it names. Incoming calls are therefore downstream, the mixes and feeds
/// that take it, and outgoing calls are upstream.
/// </summary>
internal static class CallHierarchyFeature
{
    public static CallHierarchyItem[]? Prepare(Snapshot snapshot, TextDocumentPositionParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var at = view.Plan.Compilation.Queries.At(view.Tree, view.OffsetOf(parameters.Position));
        return at?.Subject is SymbolSubject { Symbols: [FeedSymbol or BundleSymbol, ..] symbols } ? [.. symbols.Select(s => ItemOf(view, s))] : null;
    }

    public static CallHierarchyIncomingCall[]? Incoming(Snapshot snapshot, CallHierarchyCallsParams parameters) =>
        SymbolOf(snapshot, parameters.Item) is var (view, symbol)
            ? [.. Hierarchy.Naming(view.Plan.Compilation.Queries, symbol).Select(n => new CallHierarchyIncomingCall(ItemOf(view, n.By), RangesOf(view, n.By, n.Places)))]
            : null;

    public static CallHierarchyOutgoingCall[]? Outgoing(Snapshot snapshot, CallHierarchyCallsParams parameters) =>
        SymbolOf(snapshot, parameters.Item) is var (view, symbol)
            ? [.. Hierarchy.NamedBy(view.Plan.Compilation.Queries, symbol).Select(n => new CallHierarchyOutgoingCall(ItemOf(view, n.Named), RangesOf(view, symbol, n.Places)))]
            : null;

    private static (DocumentView View, Symbol Symbol)? SymbolOf(Snapshot snapshot, CallHierarchyItem item)
    {
        if (snapshot.ViewOf(item.Uri) is not { } view) return null;
        var at = view.Plan.Compilation.Queries.At(view.Tree, view.OffsetOf(item.SelectionRange.Start));
        if (at?.Subject is not SymbolSubject { Symbols: var symbols }) return null;
        return (view, symbols.FirstOrDefault(s => DeclarationOf(view, s).Tree == view.Tree && view.RangeOf(DeclarationOf(view, s).Name) == item.SelectionRange) ?? symbols[0]);
    }

    private static Protocol.Range[] RangesOf(DocumentView view, Symbol owner, List<TextSpan> places)
    {
        var source = DeclarationOf(view, owner).Tree.Source;
        return [.. places.Select(p => view.Positions.RangeOf(source, p))];
    }

    private static (Syntax.SyntaxTree Tree, TextSpan Name, TextSpan Whole) DeclarationOf(DocumentView view, Symbol symbol) =>
        view.Plan.Compilation.Queries.DeclarationsOf(new SymbolSubject([symbol]))[0];

    private static CallHierarchyItem ItemOf(DocumentView view, Symbol symbol)
    {
        var (tree, name, whole) = DeclarationOf(view, symbol);
        return new CallHierarchyItem(
            symbol.Name, SymbolsFeature.KindOf(symbol.Sort), view.Snapshot.UriOf(view.Plan, tree.Source), view.Positions.RangeOf(tree.Source, whole), view.Positions.RangeOf(tree.Source, name))
        {
            Detail = symbol is FeedSymbol { Labels: [var label, ..] } ? label : symbol.Sort,
        };
    }
}
