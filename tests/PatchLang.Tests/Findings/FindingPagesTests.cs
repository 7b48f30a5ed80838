using FluentAssertions;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Tests.Findings;

public sealed class FindingPagesTests
{
    public static TheoryData<string> Codes => [.. FindingCatalogue.All.Select(k => k.Code)];

    [Theory]
    [MemberData(nameof(Codes))]
    public void A_page_has_its_title_its_parts_and_two_plans(string code)
    {
        var kind = FindingCatalogue.Find(code).Should().BeOfType<FindingKind>().Subject;
        var page = FindingPage.Of(kind);

        page.Title.Should().Be($"# {kind.Code}: {kind.Title}");
        page.Parts.Should().Equal("Why it comes up", "What to do", "Gives it", "Mended");
        page.Broken.Files.Should().NotBeEmpty();
        page.Broken.Codes.Should().Contain(code);
        page.Mended.Files.Should().NotBeEmpty();
        page.Mended.Codes.Should().BeEmpty();
    }

    [Fact]
    public void No_page_is_left_over() =>
        typeof(FindingPages).Assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith("pages/", StringComparison.Ordinal))
            .Should().BeEquivalentTo(FindingCatalogue.All.Select(k => $"pages/{k.Code}.md"));
}
