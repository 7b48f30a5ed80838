using System.CommandLine;
using PatchLang.Cli.Files;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang new</c>: writes a plan, or a house rule, to start from.</summary>
internal static class NewCommand
{
    private const string Prefix = "starter/";

    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var folder = new Argument<string>("folder")
        {
            Description = "Where to write it; created if it does not exist. For a plan it must be empty, so that nothing of yours is overwritten.",
            DefaultValueFactory = _ => ".",
        };
        var rule = new Option<string?>("--rule") { Description = "Write a house rule of this name instead, and a case to test it on.", HelpName = "name" };
        var command = new TaughtCommand(
            "new",
            "Writes a plan, or a house rule, to start from.",
            """
            The plan is small, its comments explain it, and it checks clean as it is. Change it and build on it.

            A rule (--rule) is a C# script that checks what your house requires. It comes with a case for `patchlang test-rules`, and with patchlang.csx, which tells the C# tooling of your editor what a rule can use. That last file holds a path on this computer: keep it out of your repository.
            """,
            ("patchlang new festival", "makes the folder festival with a plan in it"),
            ("patchlang new", "writes it here, if this folder is empty"),
            ("patchlang new --rule labels house", "writes the rule house/labels.csx and its case"))
        {
            folder, rule,
        };
        command.SetAction(result => result.GetValue(rule) is { } name ? NewRule.Write(name, result.GetRequiredValue(folder), terminal) : Run(result.GetRequiredValue(folder), terminal));
        return command;
    }

    private static int Run(string folder, Terminal terminal)
    {
        var fullPath = Path.GetFullPath(folder, terminal.Folder);
        if (File.Exists(fullPath)) return Refuse("is a file; a starter plan needs a folder");
        try
        {
            if (Directory.Exists(fullPath) && Directory.EnumerateFileSystemEntries(fullPath).FirstOrDefault() is { } entry)
                return Refuse($"is not empty ({Path.GetFileName(entry)} is in it); nothing was written");
            Directory.CreateDirectory(fullPath);
            foreach (var (name, text) in Starter()) Write(name, text);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Refuse($"could not be written: {DiskTrouble.Why(e)}");
        }
        return ExitCode.Clean;

        int Refuse(string why)
        {
            terminal.Complain($"{(folder == "." ? "this folder" : folder)} {why}");
            return ExitCode.Failed;
        }

        void Write(string name, string text)
        {
            Replacement.Write(Path.Combine(fullPath, name), text);
            var path = folder == "." ? name : Path.Combine(folder, name).Replace('\\', '/');
            terminal.Output.WriteLine($"{path} is written. Check it with: patchlang check {path}");
        }
    }

    private static IEnumerable<(string Name, string Text)> Starter()
    {
        var assembly = typeof(NewCommand).Assembly;
        foreach (var resource in assembly.GetManifestResourceNames().Where(n => n.StartsWith(Prefix, StringComparison.Ordinal)).Order(StringComparer.Ordinal))
        {
            using var reader = new StreamReader(assembly.GetManifestResourceStream(resource)!);
            yield return (resource[Prefix.Length..], reader.ReadToEnd());
        }
    }
}
