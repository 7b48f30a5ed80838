using System.Text;

namespace PatchLang.LanguageServer.Features;

/// <summary>The snippets inserted for opening words. Their texts are in <c>Snippets</c>.</summary>
internal static class StatementSnippets
{
    private static readonly Lazy<IReadOnlyDictionary<string, string>> Snippets = new(Read);

    /// <summary>The snippets, by opening word.</summary>
    public static IReadOnlyDictionary<string, string> All => Snippets.Value;

    private static Dictionary<string, string> Read()
    {
        using var stream = typeof(StatementSnippets).Assembly.GetManifestResourceStream("snippets/statements.txt")!;
        using var reader = new StreamReader(stream, Encoding.UTF8);
        var snippets = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var section in reader.ReadToEnd().ReplaceLineEndings("\n").Split("\n== ").Skip(1))
        {
            var end = section.IndexOf('\n', StringComparison.Ordinal);
            snippets.Add(section[..end], section[(end + 1)..].TrimEnd('\n'));
        }
        return snippets;
    }
}
