using System.CommandLine;
using PatchLang.Cli.Files;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang new</c>: writes a plan to start from.</summary>
internal static class NewCommand
{
    private const string Prefix = "starter/";

    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var folder = new Argument<string>("folder")
        {
            Description = "Where to write it; made if it is not there. It must be empty, so that nothing of yours is written over.",
            DefaultValueFactory = _ => ".",
        };
        var command = new TaughtCommand(
            "new",
            "Writes a plan to start from.",
            "The plan is small, its comments explain it, and it checks clean as it stands. Change it and let it grow.",
            ("patchlang new festival", "makes the folder festival with a plan in it"),
            ("patchlang new", "writes it here, if this folder is empty"))
        {
            folder,
        };
        command.SetAction(result => Run(result.GetRequiredValue(folder), terminal));
        return command;
    }

    private static int Run(string folder, Terminal terminal)
    {
        var fullPath = Path.GetFullPath(folder, terminal.Folder);
        if (File.Exists(fullPath)) return Refuse("is a file; a starter plan needs a folder");
        if (Directory.Exists(fullPath) && Directory.EnumerateFileSystemEntries(fullPath).FirstOrDefault() is { } entry)
            return Refuse($"is not empty ({Path.GetFileName(entry)} is in it); nothing was written");
        try
        {
            Directory.CreateDirectory(fullPath);
            foreach (var (name, text) in Starter()) Write(name, text);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Refuse($"could not be written: {e.Message}");
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
