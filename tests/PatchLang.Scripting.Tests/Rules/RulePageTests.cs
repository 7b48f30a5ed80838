using System.Text.RegularExpressions;
using FluentAssertions;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Scripting.Tests.Rules;

/// <summary>The plans and rules on the pages that explain what rules say: the first gives the finding, the mended one nothing.</summary>
public sealed partial class RulePageTests
{
    public static TheoryData<string> Codes => [.. FindingCatalogue.All.Select(k => k.Code).Where(RuleFindings.IsFromRules)];

    [Theory]
    [MemberData(nameof(Codes))]
    public void The_first_plan_gives_what_it_says_and_the_mended_one_nothing(string code)
    {
        var page = FindingPages.Of(FindingCatalogue.Find(code)!);
        var (broken, mended) = (page.IndexOf("## Gives it", StringComparison.Ordinal), page.IndexOf("## Mended", StringComparison.Ordinal));

        // One folder for both: a rule that is the same in both is compiled once.
        using var folder = new RuleFolder();
        Run(folder, page[broken..mended]).Should().NotBeEmpty().And.OnlyContain(f => f.Contains($" {code}: ", StringComparison.Ordinal));
        Run(folder, page[mended..]).Should().BeEmpty();
    }

    private static List<string> Run(RuleFolder folder, string part)
    {
        foreach (Match block in Block().Matches(part))
            if (block.Groups["kind"].Value == "rig") folder.Plan = block.Groups["text"].Value;
            else folder.With(block.Groups["name"].Value, block.Groups["text"].Value);
        return folder.Run();
    }

    [GeneratedRegex(@"^```(?<kind>rig|csx) ?(?<name>\S*)\n(?<text>.*?)^```$", RegexOptions.Multiline | RegexOptions.Singleline | RegexOptions.ExplicitCapture)]
    private static partial Regex Block();
}
