using System.Runtime.CompilerServices;
using FluentAssertions;

namespace PatchLang.Outputs.Tests;

/// <summary>Texts that are kept beside the tests. With <c>PATCHLANG_ACCEPT=1</c> a run writes them anew: read the difference.</summary>
internal static class Snapshot
{
    public static void ShouldBeAsKept(this string text, string name, [CallerFilePath] string testFile = "")
    {
        var path = Path.Combine(Path.GetDirectoryName(testFile)!, "..", "Snapshots", name);
        if (Environment.GetEnvironmentVariable("PATCHLANG_ACCEPT") == "1") File.WriteAllText(path, text);
        File.Exists(path).Should().BeTrue("there is a text kept as {0}", name);
        text.Should().Be(File.ReadAllText(path).ReplaceLineEndings("\n"), "it is the text kept as {0}", name);
    }
}
