namespace PatchLang.LanguageServer.Tests;

/// <summary>A folder of plans for one test.</summary>
internal sealed class Folder : IDisposable
{
    public string FullPath { get; } = Directory.CreateTempSubdirectory("patchlang-").FullName;

    public string PathOf(string name) => Path.Combine(FullPath, name);

    public string UriOf(string name) => ServerProcess.UriOf(PathOf(name));

    public Folder With(string name, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(PathOf(name))!);
        File.WriteAllText(PathOf(name), text);
        return this;
    }

    public void Dispose() => Directory.Delete(FullPath, recursive: true);
}
