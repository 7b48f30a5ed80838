using PatchLang.Cli.Files;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Commands;

/// <summary>
/// <c>patchlang new --rule NAME</c>: writes a house rule to start from, with a case for it, and the file from which editors know its
/// objects.
/// </summary>
internal static class NewRule
{
    private const string Prefix = "rule/";
    private const int MostLetters = 60;

    /// <summary>Writes the files.</summary>
    /// <returns>The exit code.</returns>
    public static int Write(string name, string folder, Terminal terminal)
    {
        if (name.Length is 0 or > MostLetters || !name.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_') || name is ['-', ..])
            return Refuse($"{(name.Length == 0 ? "a rule needs a name" : $"{name} can't be the name of a rule")}: letters, figures, - and _, such as every-vocal-has-a-spare");
        if (name + ".csx" == EditorFile.Name) return Refuse($"{EditorFile.Name} is the name of the file for editors; call the rule something else");
        var full = Path.GetFullPath(folder, terminal.Folder);
        if (File.Exists(full)) return Refuse($"{folder} is a file; a rule needs a folder");
        foreach (var file in (string[])[$"{name}.csx", $"{name}.rig"])
            if (Path.Exists(Path.Combine(full, file))) return Refuse($"{PathOf(file)} is there already; nothing was written");
        try
        {
            Directory.CreateDirectory(full);
            foreach (var ending in (string[])[".csx", ".rig"])
                Replacement.Write(Path.Combine(full, name + ending), Template("NAME" + ending).Replace("NAME", name, StringComparison.Ordinal));
            WriteEditorFile(full);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Refuse($"{folder} could not be written to: {DiskTrouble.Why(e)}");
        }
        terminal.Output.WriteLine($"{PathOf(name + ".csx")} is written. Hold it to its case with: patchlang test-rules {PathOf(name + ".csx")}");
        terminal.Output.WriteLine($"{PathOf(name + ".rig")} is the case: what the rule finds is marked there.");
        if (Path.Exists(Path.Combine(full, EditorFile.Name))) terminal.Output.WriteLine($"{PathOf(EditorFile.Name)} is for your editor, on this computer alone: leave it out of your repository.");
        terminal.Output.WriteLine($"Run it over a plan with: patchlang check PLAN --rules {PathOf(name + ".csx")}");
        return ExitCode.Clean;

        int Refuse(string why)
        {
            terminal.Complain(why);
            return ExitCode.Failed;
        }

        string PathOf(string file) => folder == "." ? file : Path.Combine(folder, file).Replace('\\', '/');
    }

    // The file refers to the scripting program's assemblies, so without that program it would be of no use.
    private static void WriteEditorFile(string folder)
    {
        if (ScriptProgram.Find().Program is not { } program) return;
        var scripts = Path.GetDirectoryName(Path.GetFullPath(program.Path))!.Replace('\\', '/');
        Replacement.Write(Path.Combine(folder, EditorFile.Name), Template(EditorFile.Name).Replace("SCRIPTS", scripts, StringComparison.Ordinal));
    }

    private static string Template(string name)
    {
        using var reader = new StreamReader(typeof(NewRule).Assembly.GetManifestResourceStream(Prefix + name)!);
        return reader.ReadToEnd();
    }
}
