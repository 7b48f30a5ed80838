using System.Runtime.InteropServices;
using PatchLang.Outputs.Formats;

namespace PatchLang.Cli.Files;

/// <summary>Writes files into a folder, all or none: each is written beside its final name, then renamed. Other files there are left alone.</summary>
internal static class OutputFolder
{
    /// <summary>
    /// Writes the files, replacing those of the same names. Creates the folder, and the subfolders that the names contain, as needed.
    /// </summary>
    /// <exception cref="IOException">Nothing was written.</exception>
    public static void Write(string folder, IReadOnlyList<OutputFile> files)
    {
        if (File.Exists(folder)) throw new IOException("it is a file, and not a folder");
        var beside = new List<(string Beside, string Target)>();
        var made = new Stack<string>();
        // An interrupted run must leave nothing behind.
        using var onInterrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, _ => Forget());
        try
        {
            Make(folder);
            foreach (var file in files)
            {
                var target = Path.Combine(folder, file.Name);
                if (file.Name.Contains('/', StringComparison.Ordinal)) MakeInside(file.Name);
                if (Directory.Exists(target)) throw new IOException($"{file.Name} in it is a folder");
                if (File.Exists(target) && new FileInfo(target).IsReadOnly) throw new IOException($"{file.Name} in it is read-only");
                beside.Add(($"{target}.{Environment.ProcessId}.new", target));
                using var stream = new FileStream(beside[^1].Beside, FileMode.CreateNew, FileAccess.Write);
                stream.Write(file.Content.Span);
            }
            foreach (var (written, target) in beside) File.Move(written, target, overwrite: true);
        }
        catch (UnauthorizedAccessException e)
        {
            Forget();
            throw new IOException("writing to it is not permitted", e);
        }
        // The system's own message ends with a full stop, and may name a temporary file that means nothing to the user.
        catch (IOException e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            Forget();
            throw new IOException("no folder can be made there", e);
        }
        catch (IOException e)
        {
            Forget();
            throw new IOException(DiskTrouble.Why(e), e);
        }

        void Make(string path)
        {
            if (Directory.Exists(path)) return;
            if (Path.GetDirectoryName(path) is { Length: > 0 } above) Make(above);
            Directory.CreateDirectory(path);
            made.Push(path);
        }

        // Creates the subfolders of a name. Refuses links, which could lead out of the folder.
        void MakeInside(string name)
        {
            var path = folder;
            foreach (var part in name.Split('/')[..^1])
            {
                path = Path.Combine(path, part);
                if (File.Exists(path)) throw new IOException($"{part} in it is a file, and {name} needs a folder");
                if (new DirectoryInfo(path).LinkTarget is not null) throw new IOException($"{part} in it is a link, and may lead elsewhere");
                Make(path);
            }
        }

        void Forget()
        {
            foreach (var (written, _) in beside)
                if (File.Exists(written)) File.Delete(written); // deleting one that was never created would fail the way creating it did
            foreach (var path in made)
                if (Directory.Exists(path) && !Directory.EnumerateFileSystemEntries(path).Any()) Directory.Delete(path);
        }
    }
}
