using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.Queries;

namespace PatchLang.LanguageServer.Features;

/// <summary>Inlay hints: what the compiler filled in, shown where it would be written.</summary>
internal static class InlayHintFeature
{
    public static InlayHint[]? Answer(Snapshot snapshot, RangeParams parameters)
    {
        if (snapshot.ViewOf(parameters.TextDocument.Uri) is not { } view) return null;
        var hints = SignalHints.Of(view.Plan.Compilation.Queries, view.Tree, view.Positions.SpanOf(view.Source, parameters.Range));
        return [.. hints.Select(h => new InlayHint(view.Positions.PositionOf(view.Source, h.Offset), h.Text) { Tooltip = h.Remark, PaddingRight = h.IsBefore ? true : null, PaddingLeft = h.IsBefore || h.Text[0] == '[' ? null : true })];
    }
}
