using System.Globalization;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>Completion: only what is allowed at the position, the likeliest first.</summary>
internal static class CompletionFeature
{
    /// <summary>With more items than this, descriptions would cost more than they are worth.</summary>
    private const int MostDescribed = 40;

    /// <summary>The characters that trigger completion when typed.</summary>
    public static string[] Triggers { get; } = [".", "[", ">", ":", " "];

    public static CompletionList? Answer(Snapshot snapshot, TextDocumentPositionParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var queries = view.Plan.Compilation.Queries;
        var proposals = queries.ProposalsAt(view.Tree, view.OffsetOf(parameters.Position));
        var range = view.RangeOf(proposals.Replaced);
        var items = new List<CompletionItem>(proposals.Items.Count);
        foreach (var proposal in proposals.Items) items.Add(ItemOf(proposal, range, items.Count, proposals.Items.Count <= MostDescribed ? queries : null, snapshot.Client));
        return new CompletionList(proposals.IsCut, [.. items]);
    }

    private static CompletionItem ItemOf(Proposal proposal, Protocol.Range range, int number, PlanQueries? queries, Client client)
    {
        var snippet = proposal.Sort == ProposalSort.Statement && client.TakesSnippets ? StatementSnippets.All.GetValueOrDefault(proposal.Text) : null;
        return new CompletionItem(proposal.Text)
        {
            Kind = KindOf(proposal.Sort, client.ShowsAllCompletionKinds),
            Detail = proposal.Sort == ProposalSort.Statement ? null : proposal.Detail,
            Documentation = DocumentationOf(proposal, queries, client),
            SortText = number.ToString("d4", CultureInfo.InvariantCulture),
            InsertTextFormat = snippet is null ? null : InsertTextFormat.Snippet,
            TextEdit = new TextEdit(range, snippet ?? proposal.Text),
        };
    }

    private static MarkupContent? DocumentationOf(Proposal proposal, PlanQueries? queries, Client client) =>
        proposal.Sort == ProposalSort.Statement ? new MarkupContent(client.CompletionMarkup, proposal.Detail!)
        : proposal.Subject is { } subject && queries is not null ? HoverFeature.Markup(Description.Of(queries, new Occurrence(default, subject, false)), client.CompletionMarkup)
        : null;

    private static CompletionItemKind KindOf(ProposalSort sort, bool isAnyShown) => sort switch
    {
        ProposalSort.Statement or ProposalSort.Word => CompletionItemKind.Keyword,
        ProposalSort.Setting or ProposalSort.Part => CompletionItemKind.Property,
        ProposalSort.Value => CompletionItemKind.Value,
        ProposalSort.Unit => CompletionItemKind.Variable,
        ProposalSort.Feed => CompletionItemKind.Function,
        ProposalSort.Gear => CompletionItemKind.Class,
        ProposalSort.Format => CompletionItemKind.Interface,
        ProposalSort.Network or ProposalSort.Prefix => CompletionItemKind.Module,
        ProposalSort.Loom => isAnyShown ? CompletionItemKind.Struct : CompletionItemKind.Class,
        ProposalSort.Act => isAnyShown ? CompletionItemKind.Event : CompletionItemKind.Reference,
        ProposalSort.Channel => isAnyShown ? CompletionItemKind.EnumMember : CompletionItemKind.Value,
        ProposalSort.File => CompletionItemKind.File,
        _ => CompletionItemKind.Reference,
    };
}
