using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>Signature help for brackets: the parameters of gear, the channels of a socket, the members of a sum.</summary>
internal static class SignatureHelpFeature
{
    public static string[] Triggers { get; } = ["(", "[", ","];

    public static SignatureHelp? Answer(Snapshot snapshot, TextDocumentPositionParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        if (Signature.At(view.Plan.Compilation.Queries, view.Tree, view.OffsetOf(parameters.Position)) is not { } signature) return null;
        var information = new SignatureInformation(signature.Label)
        {
            Documentation = signature.Remark is { Length: > 0 } remark ? new MarkupContent(snapshot.Client.SignatureMarkup, remark) : null,
            Parameters = [.. signature.Parameters.Select(p => new ParameterInformation(p))],
        };
        return new SignatureHelp([information], 0, signature.Active);
    }
}
