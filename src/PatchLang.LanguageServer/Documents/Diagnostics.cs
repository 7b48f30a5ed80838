using PatchLang.Findings;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Documents;

/// <summary>Findings as diagnostics of the protocol.</summary>
internal static class Diagnostics
{
    /// <summary>The source of the diagnostics, by which clients tell them from those of other servers.</summary>
    public const string Source = "patchlang";

    /// <summary>
    /// The diagnostics of every file of the client's plans, by document. A file used by several plans has those of each, without duplicates.
    /// </summary>
    public static Dictionary<string, List<Diagnostic>> ByDocument(Snapshot snapshot)
    {
        var found = new Dictionary<string, List<Diagnostic>>(StringComparer.Ordinal);
        foreach (var document in snapshot.Documents.Values)
        {
            found[document.Uri] = [];
            if (document.IsTooLarge) found[document.Uri].Add(TooLarge(document));
        }
        foreach (var plan in snapshot.Plans)
        {
            foreach (var finding in plan.Findings)
            {
                if (finding.Place.Source.IsLibrary) continue;
                var uri = snapshot.UriOf(plan, finding.Place.Source);
                if (!found.TryGetValue(uri, out var list)) found[uri] = list = [];
                var diagnostic = Of(finding, plan, snapshot);
                if (snapshot.Plans.Length == 1 || !list.Exists(d => IsSame(d, diagnostic))) list.Add(diagnostic);
            }
        }
        return found;
    }

    /// <summary>Whether two diagnostics are equal.</summary>
    public static bool IsSame(Diagnostic one, Diagnostic other) =>
        one.Range == other.Range && one.Code == other.Code && one.Message == other.Message && one.Severity == other.Severity
        && (one.RelatedInformation ?? []).SequenceEqual(other.RelatedInformation ?? []);

    public static Diagnostic Of(Finding finding, LoadedPlan plan, Snapshot snapshot)
    {
        var client = snapshot.Client;
        return new Diagnostic(client.Positions.RangeOf(finding.Place.Source, finding.Place.Span), finding.Message)
        {
            Severity = finding.Severity switch
            {
                Severity.Error => DiagnosticSeverity.Error,
                Severity.Warning => DiagnosticSeverity.Warning,
                Severity.Note => DiagnosticSeverity.Information,
                _ => DiagnosticSeverity.Hint,
            },
            Code = finding.Code,
            CodeDescription = client.ShowsCodeDescription ? new CodeDescription(DocumentUri.OfPage(finding.Kind, client)) : null,
            Source = Source,
            Tags = finding.Kind.IsAboutUnused && client.ShowsUnnecessary ? [DiagnosticTag.Unnecessary] : null,
            RelatedInformation = client.ShowsRelated && finding.Related.Length > 0
                ? [.. finding.Related.Select(r => new DiagnosticRelatedInformation(LocationOf(r), r.Remark ?? finding.Kind.Title))]
                : null,
        };

        Location LocationOf(Place place) => new(snapshot.UriOf(plan, place.Source), client.Positions.RangeOf(place.Source, place.Span));
    }

    private static Diagnostic TooLarge(OpenDocument document) =>
        new(new Protocol.Range(default, default), $"The document has {document.Text.Length >> 20} million characters, where {OpenDocument.MostCharacters >> 20} million are the most: it is not looked at.")
        {
            Severity = DiagnosticSeverity.Error,
            Source = Source,
        };
}
