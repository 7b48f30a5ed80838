using PatchLang.Files;

namespace PatchLang.Scripting.Hosting;

/// <summary>The rules that the user has read and accepted, by content: one that changes is not accepted any more. Kept in the user's own folder.</summary>
public static class AcceptedRules
{
    private static string FilePath => Path.Combine(UserFolders.Settings, "accepted-rules");

    /// <summary>Whether the user has accepted a rule as it stands.</summary>
    public static bool Has(RuleFile rule) => Lines().Any(l => l.StartsWith(rule.Hash + " ", StringComparison.Ordinal));

    /// <summary>Notes that the user has accepted a rule as it stands.</summary>
    /// <exception cref="IOException">It can't be written down.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be written down.</exception>
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
