using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A <c>use</c> statement with the file it includes; null if there is none.</summary>
internal sealed record Use(Statement Statement, string? Prefix, TextSpan PrefixSpan, PlanFile? Target)
{
    /// <summary>Whether the file could not be read. (A use without a target that is not missing would close a circle.)</summary>
    public bool IsMissing { get; init; }

    /// <summary>Whether the statement has a syntax error, and yet it is clear which file it includes.</summary>
    public bool IsSlip { get; init; }
}

/// <summary>
/// All files of a plan: the root and the files it uses, each included once. Immutable; <see cref="With"/> gives the set
/// after a change of one file, without reading any other again.
/// </summary>
internal sealed class PlanFiles
{
    private readonly FileReader reader;
    private readonly Dictionary<string, int> indexOf;
    private readonly ImmutableArray<List<WrittenUse>> written;

    private PlanFiles(FileReader reader, Loader loader)
    {
        this.reader = reader;
        Files = [.. loader.Files];
        Trees = [.. loader.Trees];
        Uses = [.. loader.Uses];
        Findings = loader.Findings;
        indexOf = loader.IndexOf;
        written = [.. loader.Written];
    }

    private PlanFiles(PlanFiles before, int changed, SyntaxTree tree)
    {
        reader = before.reader;
        Files = before.Files;
        Trees = before.Trees.SetItem(changed, tree);
        Uses = before.Uses;
        Findings = before.Findings;
        indexOf = before.indexOf;
        written = before.written;
    }

    /// <summary>The files in the order in which they are reached, the root first.</summary>
    public ImmutableArray<PlanFile> Files { get; }

    public ImmutableArray<SyntaxTree> Trees { get; }

    /// <summary>The uses of each file.</summary>
    public ImmutableArray<ImmutableArray<Use>> Uses { get; }

    /// <summary>Findings about the uses.</summary>
    public DraftBag Findings { get; }

    public int IndexOf(PlanFile file) => indexOf[file.Path];

    public static PlanFiles Load(SyntaxTree root, FileReader reader) => new(reader, new Loader(reader, []).Load(root));

    /// <summary>The set after the text of one of its files changed; null if it has no such file.</summary>
    public PlanFiles? With(SourceText changed)
    {
        if (!indexOf.TryGetValue(changed.Path, out var index) || Files[index].IsLibrary) return null;
        var tree = Trees[index].With(changed);
        if (written[index].SequenceEqual(WrittenUse.AllIn(tree))) return new PlanFiles(this, index, tree);
        var known = Files.Zip(Trees).ToDictionary(f => f.First.Path, f => f.Second);
        known[changed.Path] = tree;
        return new PlanFiles(reader, new Loader(reader, known).Load(known[Files[0].Path]));
    }

    private sealed class Loader(FileReader reader, Dictionary<string, SyntaxTree> known)
    {
        private readonly HashSet<string> open = [];

        public List<PlanFile> Files { get; } = [];

        public List<SyntaxTree> Trees { get; } = [];

        public List<ImmutableArray<Use>> Uses { get; } = [];

        public List<List<WrittenUse>> Written { get; } = [];

        public Dictionary<string, int> IndexOf { get; } = [];

        public DraftBag Findings { get; } = new();

        public Loader Load(SyntaxTree root)
        {
            Add(root);
            return this;
        }

        private void Add(SyntaxTree tree)
        {
            var path = tree.Source.Path;
            var index = Files.Count;
            IndexOf.Add(path, index);
            Files.Add(new PlanFile(path));
            Trees.Add(tree);
            Uses.Add([]);
            open.Add(path);
            var uses = ImmutableArray.CreateBuilder<Use>();
            var written = WrittenUse.AllIn(tree);
            Written.Add(written);
            foreach (var each in written)
                if (Follow(each, path) is { } use) uses.Add(use);
            open.Remove(path);
            Uses[index] = uses.DrainToImmutable();
        }

        /// <summary>The use of a file; null if it may be none.</summary>
        private Use? Follow(WrittenUse use, string from) => use.IsSlip ? FollowSlip(use, from) : FollowRead(use, from);

        /// <summary>The file that a statement with a syntax error names, if there is such a file. What is wrong with the statement is told elsewhere.</summary>
        private Use? FollowSlip(WrittenUse written, string from)
        {
            var use = new Use(written.Statement, written.Prefix, written.PrefixSpan, null) { IsSlip = true };
            foreach (var name in (ReadOnlySpan<string>)[written.Written!, written.Written + ".rig"])
            {
                if (PlanPath.Resolve(from, name) is not { } path || open.Contains(path)) continue;
                if (!IndexOf.ContainsKey(path))
                {
                    if (Find(path) is not { } tree) continue;
                    Add(tree);
                }
                return use with { Target = Files[IndexOf[path]] };
            }
            return written.Statement.Kind == NodeKind.Use ? use with { IsMissing = true } : null;
        }

        private SyntaxTree? Find(string path) =>
            known.GetValueOrDefault(path) ?? (path.StartsWith("library/", StringComparison.Ordinal) ? ShippedLibrary.Find(path) : reader(path).Source is { } source ? SyntaxTree.Parse(source) : null);

        private Use FollowRead(WrittenUse said, string from)
        {
            var use = new Use(said.Statement, said.Prefix, said.PrefixSpan, null);
            if (said.Written is not { } written) return use with { IsMissing = true }; // reported as a syntax error
            var at = new Anchor(said.Statement, new TextSpan(said.Span.Start - 1, said.Span.Length + 2));
            if (PlanPath.WithSlashes(said.Statement.Text.Span[at.Span.Start..at.Span.End]) is { } slashed)
            {
                Findings.Add(new Draft(NameFindings.BackslashInPath(slashed), at) { Fixes = [new FixDraft($"write \"{slashed}\"", true, at, $"\"{slashed}\"")] });
                return use with { IsMissing = true };
            }
            if (PlanPath.Resolve(from, written) is not { } path)
            {
                Findings.Add(written.Length == 0 ? NameFindings.NoPath() : NameFindings.UseOutside(written), at);
                return use with { IsMissing = true };
            }
            if (open.Contains(path))
            {
                Findings.Add(path == from ? NameFindings.UsesItself() : NameFindings.UsesInCircle(path), at);
                return use;
            }
            if (!IndexOf.ContainsKey(path))
            {
                if (Read(path, written, at) is not { } tree) return use with { IsMissing = true };
                Add(tree);
            }
            return use with { Target = Files[IndexOf[path]] };
        }

        private SyntaxTree? Read(string path, string written, Anchor at)
        {
            if (known.TryGetValue(path, out var tree)) return tree;
            if (path.StartsWith("library/", StringComparison.Ordinal))
            {
                if (ShippedLibrary.Find(path) is { } shipped) return shipped;
                var nearest = Nearest.To(path, ShippedLibrary.Paths);
                Findings.Add(new Draft(NameFindings.NoLibraryFile(written, nearest), at) { Fixes = Instead(nearest) });
                return null;
            }
            var reading = reader(path);
            if (reading.Source is { } source) return SyntaxTree.Parse(source);
            // Someone who leaves out the library's folder, or uses other letter case, probably means the library.
            var shelved = ShippedLibrary.Paths.FirstOrDefault(p => IsLike(p, written) || IsLike(p, "library/" + written));
            Findings.Add(
                reading.Problem == FileProblem.NotFound && shelved is not null
                    ? new Draft(NameFindings.NoFileButShipped(written, shelved), at) { Fixes = Instead(shelved) }
                    : new Draft(NameFindings.FileProblemOf(written, reading.Problem, reading.Detail), at));
            return null;

            static bool IsLike(string one, string other) => string.Equals(one, other, StringComparison.OrdinalIgnoreCase);

            ImmutableArray<FixDraft> Instead(string? meant) => meant is null ? [] : [new FixDraft($"write \"{meant}\"", false, at, $"\"{meant}\"")];
        }
    }
}

/// <summary>File paths as plans write them.</summary>
internal static class PlanPath
{
    /// <summary>
    /// The path that <paramref name="written"/> refers to in the file <paramref name="from"/>, relative to the root plan's folder; null if it
    /// leads out of it.
    /// </summary>
    public static string? Resolve(string from, string written)
    {
        if (written.Length == 0 || written[0] == '/' || written.Contains('\\') || written.Contains(':') || written.Contains('\0')) return null;
        if (written.StartsWith("library/", StringComparison.Ordinal)) return Normalise([], written);
        var parts = new List<string>(from.Split('/')[..^1]);
        var resolved = Normalise(parts, written);
        // A library file can only use other library files.
        return from.StartsWith("library/", StringComparison.Ordinal) && resolved?.StartsWith("library/", StringComparison.Ordinal) != true ? null : resolved;
    }

    /// <summary>A path in quotes that has backslashes between its folders, with slashes instead; null if it has none.</summary>
    public static string? WithSlashes(ReadOnlySpan<char> quoted) =>
        quoted.Contains('\\') && quoted[1..^1].ToString().Replace("\\\\", "/", StringComparison.Ordinal).Replace('\\', '/') is var path && !path.Contains('"', StringComparison.Ordinal) ? path : null;

    private static string? Normalise(List<string> parts, string written)
    {
        foreach (var part in written.Split('/'))
            switch (part)
            {
                case "" or ".":
                    break;
                case "..":
                    if (parts.Count == 0) return null;
                    parts.RemoveAt(parts.Count - 1);
                    break;
                default:
                    parts.Add(part);
                    break;
            }
        return string.Join('/', parts);
    }
}
