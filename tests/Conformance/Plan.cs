using System.Collections.Immutable;
using System.Text;
using System.Text.RegularExpressions;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Conformance;

/// <summary>
/// One case: a plan of one file, or a folder whose root is <c>main.rig</c>. Every file of it is marked with what is to be found there.
/// A line <c>// mended by fix 1</c> holds that the first fix offered for the plan's findings leaves nothing to be found;
/// <c>// mended by fix 2: its title</c> says what that fix is called; <c>// mended by fix 1 but for PL0907</c> says what is left to be found.
/// </summary>
internal sealed partial class Plan
{
    private const string RootName = "main.rig";

    private static readonly byte[] ByteOrderMark = [0xEF, 0xBB, 0xBF];

    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    private static readonly string Repository = FindRepository(AppContext.BaseDirectory);

    private readonly string? folder;
    private readonly Dictionary<string, MarkedText> texts = [];

    private Plan(string name, string rootFile, string? folder)
    {
        Name = name;
        RootFile = rootFile;
        this.folder = folder;
        if (folder is null) Add(Path.GetFileName(name), Read(rootFile) ?? throw new InvalidDataException($"{name} is not text."));
        else
        {
            foreach (var file in Directory.EnumerateFiles(folder, "*.rig", SearchOption.AllDirectories))
                if (Read(file) is { } content) Add(PathOf(file), content);
        }
        Root = texts[Path.GetFileName(name)].Source;
    }

    /// <summary>The folder of all plans.</summary>
    public static string Folder { get; } = Path.Combine(Repository, "tests", "Conformance", "plans");

    /// <summary>The root's path below <see cref="Folder"/>, with forward slashes; of a sample, its path in the repository.</summary>
    public string Name { get; }

    /// <summary>The root's file on the disk.</summary>
    public string RootFile { get; }

    /// <summary>The root's text.</summary>
    public SourceText Root { get; }

    /// <summary>The files that are text, by their path from the root's folder.</summary>
    public IReadOnlyDictionary<string, MarkedText> Texts => texts;

    /// <summary>Whether nothing is expected to be found.</summary>
    public bool IsClean => texts.Values.All(t => t.Marks.IsEmpty);

    /// <summary>The fixes that mend it, by their number from 1 and, where it says so, their title and the code that they leave.</summary>
    public IEnumerable<(int Number, string? Title, string? Left)> Mends =>
        MendPattern().Matches(Root.Content).Select(m => (int.Parse(m.Groups["number"].Value), TextOf(m.Groups["title"]), TextOf(m.Groups["left"])));

    /// <summary>The roots of all plans, by name.</summary>
    public static ImmutableArray<string> AllNames { get; } = [.. FindNames(Folder).Order(StringComparer.Ordinal)];

    public static Plan Of(string name)
    {
        var rootFile = Path.Combine(Folder, name);
        return new(name, rootFile, Path.GetFileName(name) == RootName ? Path.GetDirectoryName(rootFile) : null);
    }

    /// <summary>A plan of the repository's samples: the file in a folder that bears the folder's name.</summary>
    public static Plan OfSample(string sample)
    {
        var inFolder = Path.Combine(Repository, "samples", sample);
        return new($"samples/{sample}/{sample}.rig", Path.Combine(inFolder, $"{sample}.rig"), inFolder);
    }

    public Compilation Compile() => Compilation.Create(Root, ReadUsed);

    /// <summary>The compilation of the plan in which some files have another text.</summary>
    public Compilation CompileWith(IReadOnlyDictionary<string, SourceText> changed) =>
        Compilation.Create(changed.GetValueOrDefault(Root.Path, Root), path => changed.TryGetValue(path, out var source) ? FileReading.Of(source) : ReadUsed(path));

    /// <summary>The compilation after a fix was applied to the plan's files.</summary>
    public Compilation CompileMended(Fix fix)
    {
        var mended = new Dictionary<string, SourceText>();
        foreach (var edit in fix.Edits.OrderByDescending(e => e.Span.Start))
        {
            var source = mended.GetValueOrDefault(edit.Source.Path, texts[edit.Source.Path].Source);
            mended[edit.Source.Path] = source.With(new TextChange(edit.Span, edit.NewText));
        }
        return CompileWith(mended);
    }

    /// <summary>Writes the marks of what was found into the plan's files.</summary>
    public void Accept(IEnumerable<FoundMark> found)
    {
        var byFile = found.ToLookup(f => f.Path, f => f.Mark);
        foreach (var (path, text) in texts)
        {
            var accepted = text.With(byFile[path]);
            if (accepted == text.Source.Content) continue;
            var file = Path.Combine(Path.GetDirectoryName(RootFile)!, path);
            File.WriteAllBytes(file, [.. HasMark(File.ReadAllBytes(file)) ? ByteOrderMark : [], .. Utf8.GetBytes(accepted)]);
        }
    }

    private static IEnumerable<string> FindNames(string inFolder)
    {
        if (File.Exists(Path.Combine(inFolder, RootName))) return [Path.GetRelativePath(Folder, Path.Combine(inFolder, RootName)).Replace('\\', '/')];
        return Directory.EnumerateFiles(inFolder, "*.rig").Select(f => Path.GetRelativePath(Folder, f).Replace('\\', '/'))
            .Concat(Directory.EnumerateDirectories(inFolder).SelectMany(FindNames));
    }

    private static string? TextOf(Group group) => group.Success ? group.Value : null;

    private static string FindRepository(string start)
    {
        for (var above = start; above is not null; above = Path.GetDirectoryName(above))
            if (File.Exists(Path.Combine(above, "PatchLang.sln"))) return above;
        throw new DirectoryNotFoundException("The tests don't stand in the repository.");
    }

    /// <summary>The text of a file without its byte order mark, as every host gives it to the compiler; null if it is not text.</summary>
    private static string? Read(string file)
    {
        try
        {
            var bytes = File.ReadAllBytes(file).AsSpan();
            return Utf8.GetString(bytes[(HasMark(bytes) ? ByteOrderMark.Length : 0)..]);
        }
        catch (DecoderFallbackException)
        {
            return null;
        }
    }

    private static bool HasMark(ReadOnlySpan<byte> bytes) => bytes.StartsWith(ByteOrderMark);

    private void Add(string path, string content) => texts.Add(path, MarkedText.Of(new SourceText(path, content)));

    private string PathOf(string file) => Path.GetRelativePath(folder!, file).Replace('\\', '/');

    private FileReading ReadUsed(string path)
    {
        if (texts.TryGetValue(path, out var text)) return FileReading.Of(text.Source);
        if (folder is null) return FileReading.Failed(FileProblem.NotFound);
        if (File.Exists(Path.Combine(folder, path))) return FileReading.Failed(FileProblem.NotText);
        var otherwise = Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories).Select(PathOf)
            .FirstOrDefault(p => string.Equals(p, path, StringComparison.OrdinalIgnoreCase));
        return otherwise is null ? FileReading.Failed(FileProblem.NotFound) : FileReading.Failed(FileProblem.WrongCase, otherwise);
    }

    [GeneratedRegex(@"^// mended by fix (?<number>\d+)( but for (?<left>PL\d{4}))?(: (?<title>[^\r\n]*))?\r?$", RegexOptions.ExplicitCapture | RegexOptions.Multiline)]
    private static partial Regex MendPattern();
}
