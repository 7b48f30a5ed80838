using System.Security.Cryptography;
using System.Text;
using PatchLang.Files;

namespace PatchLang.Scripting.Hosting;

/// <summary>
/// A cache of compiled rules in the user's folder, keyed by a hash of the script,
/// of the files it includes, and of the version of the program that compiled it.
/// </summary>
internal sealed class RuleCache(ScriptProgram program, bool isOfReports)
{
    private static readonly TimeSpan KeptFor = TimeSpan.FromDays(60);

    private readonly string folder = Path.Combine(UserFolders.Cache, "rules");
    private readonly string version = program.Version;

    /// <summary>The file of a compiled rule; null if it is not cached.</summary>
    public string? Find(RuleFile rule) => PathOf(rule) is var path && File.Exists(path) ? path : null;

    /// <summary>Caches a compiled rule. If that fails, the next run just compiles it again.</summary>
    public void Keep(RuleFile rule, byte[] compiled)
    {
        try
        {
            Directory.CreateDirectory(folder);
            foreach (var old in new DirectoryInfo(folder).EnumerateFiles())
                if (DateTime.UtcNow - old.LastWriteTimeUtc > KeptFor) old.Delete();
            var path = PathOf(rule);
            var beside = $"{path}.{Environment.ProcessId}";
            File.WriteAllBytes(beside, compiled);
            File.Move(beside, path, overwrite: true); // atomic, so that no reader sees an incomplete file
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // The cache only saves time.
        }
    }

    // The path belongs into the key because it is compiled in: messages contain it, and relative paths are resolved from its folder.
    private string PathOf(RuleFile rule) =>
        Path.Combine(folder, Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes($"{rule.Hash}\n{rule.FullPath}\n{version}\n{isOfReports}"))) + ".rule");
}
