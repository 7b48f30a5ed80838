using System.Security.Cryptography;
using System.Text;
using PatchLang.Files;

namespace PatchLang.Scripting.Hosting;

/// <summary>What rules were compiled to, kept in the user's folder by content: of the script, of what it takes in, and of the program that compiled it.</summary>
internal sealed class RuleCache(ScriptProgram program, bool isOfReports)
{
    private static readonly TimeSpan KeptFor = TimeSpan.FromDays(60);

    private readonly string folder = Path.Combine(UserFolders.Cache, "rules");
    private readonly string version = program.Version;

    /// <summary>The file of a rule that was compiled before; null where there is none.</summary>
    public string? Find(RuleFile rule) => PathOf(rule) is var path && File.Exists(path) ? path : null;

    /// <summary>Keeps what a rule was compiled to. Where that can't be, the next run compiles it again.</summary>
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
            File.Move(beside, path, overwrite: true); // whole or not at all
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // It is kept for speed alone.
        }
    }

    // The path is in what was compiled: messages name it, and its folder is where the script looks for others.
    private string PathOf(RuleFile rule) =>
        Path.Combine(folder, Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes($"{rule.Hash}\n{rule.FullPath}\n{version}\n{isOfReports}"))) + ".rule");
}
