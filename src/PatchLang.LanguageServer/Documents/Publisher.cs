using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Rules;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Documents;

/// <summary>Pushes changed diagnostics to the client. If the client requests those of open documents itself, only the others are pushed.</summary>
internal sealed class Publisher(Connection connection)
{
    private readonly Dictionary<string, Sent> sent = new(StringComparer.Ordinal);
    private IReadOnlyDictionary<string, (Compilation, RuleAnswer?)> told = new Dictionary<string, (Compilation, RuleAnswer?)>(StringComparer.Ordinal);

    /// <summary>Publishes the diagnostics of a snapshot that changed since the last one.</summary>
    /// <returns>Whether the diagnostics of an open document changed although its text did not.</returns>
    public bool Publish(Snapshot snapshot)
    {
        var found = Diagnostics.ByDocument(snapshot);
        var open = snapshot.Documents.Values.ToDictionary(d => d.Uri, d => d.Version, StringComparer.Ordinal);
        var isAnyOtherChanged = false;
        foreach (var (uri, diagnostics) in found)
        {
            int? version = open.TryGetValue(uri, out var known) ? known : null;
            if (sent.TryGetValue(uri, out var before) && before.Version == version && IsSame(before.Diagnostics, diagnostics)) continue;
            if (before is null && version is null && diagnostics.Count == 0) continue;
            isAnyOtherChanged |= version is not null && before is not null && before.Version == version;
            Send(uri, version, diagnostics, snapshot.Client);
        }
        foreach (var uri in sent.Keys.Where(u => !found.ContainsKey(u)).ToList())
        {
            Send(uri, null, [], snapshot.Client);
            sent.Remove(uri);
        }
        if (snapshot.Client.HearsOfChanges) TellOfChanges(snapshot);
        return isAnyOtherChanged;
    }

    /// <summary>Notifies the client of plans that were added, removed or changed.</summary>
    private void TellOfChanges(Snapshot snapshot)
    {
        var now = snapshot.Plans.ToDictionary(snapshot.RootUriOf, p => (p.Compilation, p.Rules), StringComparer.Ordinal);
        var changed = now.Where(p => told.GetValueOrDefault(p.Key) != p.Value).Select(p => p.Key).Concat(told.Keys.Where(k => !now.ContainsKey(k))).ToArray();
        told = now;
        if (changed.Length > 0) _ = connection.Notify("patchlang/changed", new PlansChanged(changed));
    }

    private void Send(string uri, int? version, List<Diagnostic> diagnostics, Client client)
    {
        var wasPushed = sent.TryGetValue(uri, out var before) && before.IsPushed;
        var isPushed = version is null || !client.PullsDiagnostics;
        sent[uri] = new Sent(version, diagnostics, isPushed && diagnostics.Count > 0);
        if (isPushed) _ = connection.Notify("textDocument/publishDiagnostics", new PublishDiagnosticsParams(uri, [.. diagnostics]) { Version = client.ReadsVersions ? version : null });
        else if (wasPushed) _ = connection.Notify("textDocument/publishDiagnostics", new PublishDiagnosticsParams(uri, []));
    }

    private static bool IsSame(List<Diagnostic> before, List<Diagnostic> now) =>
        before.Count == now.Count && before.Zip(now).All(pair => Diagnostics.IsSame(pair.First, pair.Second));

    private sealed record Sent(int? Version, List<Diagnostic> Diagnostics, bool IsPushed);
}
