using System.Text;

namespace PatchLang.Findings;

/// <summary>
/// The pages that explain findings: what one means in the room, why it comes up, what to do, a plan that gives it and
/// the same plan mended. They stand in <c>Findings/Pages</c>, one file per code, and are embedded in the compiler.
/// </summary>
public static class FindingPages
{
    /// <summary>The page of a kind, as Markdown.</summary>
    public static string Of(FindingKind kind)
    {
        using var stream = typeof(FindingPages).Assembly.GetManifestResourceStream($"pages/{kind.Code}.md")
            ?? throw new InvalidOperationException($"No page explains {kind.Code}."); // a test ensures that every kind has one
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd();
    }
}
