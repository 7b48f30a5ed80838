using System.Text;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Tests.Findings;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Conformance;

/// <summary>The plans on the pages that explain findings are what the pages say.</summary>
public sealed class PageTests
{
    private static readonly UTF8Encoding Utf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    // What house rules say the compiler does not know: PatchLang.Scripting.Tests holds those pages, and runs their rules.
    public static TheoryData<string> Codes => [.. FindingCatalogue.All.Select(k => k.Code).Where(c => !RuleFindings.IsFromRules(c))];

    [Theory]
    [MemberData(nameof(Codes))]
    public void The_first_plan_gives_what_it_says_and_the_mended_one_nothing(string code)
    {
        var page = FindingPage.Of(FindingCatalogue.Find(code)!);

        Compile(page.Broken).Select(f => f.Mark.Code).Distinct().Should().BeEquivalentTo(page.Broken.Codes);
        Compile(page.Mended).Select(f => f.ToString()).Should().BeEmpty();
    }

    private static IEnumerable<FoundMark> Compile(PagePlan plan)
    {
        var root = new SourceText("plan.rig", Utf8.GetString(plan.Files[0].Content));
        return Compilation.Create(root, path => Read(plan, path)).Findings.Select(FoundMark.Of);
    }

    private static FileReading Read(PagePlan plan, string path)
    {
        if (plan.Files.Find(f => f.Name == path) is not { } file)
        {
            return plan.Files.Find(f => string.Equals(f.Name, path, StringComparison.OrdinalIgnoreCase)) is { } other
                ? FileReading.Failed(FileProblem.WrongCase, other.Name)
                : FileReading.Failed(FileProblem.NotFound);
        }
        try
        {
            return FileReading.Of(new SourceText(path, Utf8.GetString(file.Content)));
        }
        catch (DecoderFallbackException)
        {
            return FileReading.Failed(FileProblem.NotText);
        }
    }
}
