using PatchLang.Files;

namespace PatchLang.Scripting.Hosting;

/// <summary>
/// The rules that the user has read and accepted, identified by a hash of their content, so that a changed rule is no longer accepted. Stored in
/// the user's own folder.
/// </summary>
public static class AcceptedRules
{
    private static string FilePath => Path.Combine(UserFolders.Settings, "accepted-rules");

    /// <summary>Whether the user has accepted a rule with its current content.</summary>
    public static bool Has(RuleFile rule) => Lines().Any(l => l.StartsWith(rule.Hash + " ", StringComparison.Ordinal));

    /// <summary>Records that the user has accepted a rule with its current content.</summary>
    /// <exception cref="IOException">Writing failed.</exception>
    /// <exception cref="UnauthorizedAccessException">Writing is not permitted.</exception>
    public static void Accept(RuleFile rule)
    {
        if (Has(rule)) return;
        Directory.CreateDirectory(UserFolders.Settings);
        File.AppendAllText(FilePath, $"{rule.Hash} {rule.FullPath}\n");
    }

    private static string[] Lines()
    {
        try
        {
            return File.Exists(FilePath) ? File.ReadAllLines(FilePath) : [];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }
}
