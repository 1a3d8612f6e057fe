using Reliability.Cli.Catalog;
using Reliability.Cli.Terminals;
using Reliability.Cli.Tests.Files;
using Xunit;

namespace Reliability.Cli.Tests.Catalog;

public sealed class ModelFileTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("""{"name": "moduleModels/lamp", "displayName": "Lamp"}""", "lamp")]
    [InlineData("""{"moduleModelId": "lamp", "moduleModel": {"displayName": "Lamp"}}""", "lamp")]
    [InlineData("""[{"moduleModelId": "lamp", "moduleModel": {}}, {"name": "moduleModels/blower"}]""", "lamp,blower")]
    [InlineData("""{"moduleModels": [{"name": "moduleModels/lamp"}, {"name": "moduleModels/blower"}]}""", "lamp,blower")]
    [InlineData("""{"displayName": "Lamp"}""", "by-option")]
    public void A_file_holds_one_module_model_or_several(string text, string expected)
    {
        Assert.Equal(expected, string.Join(',', ModelFile.Read(_folder.Write("models.json", text), "by-option").Select(request => request.ModuleModelId)));
    }

    [Theory]
    [InlineData("{\n\"name\": oops}", "line 2: not JSON.")]
    [InlineData("""{"name": "moduleModels/lamp", "colour": 5}""", "not a module model in JSON: ")]
    [InlineData("""{"displayName": "Lamp"}""", "give --id.")]
    [InlineData("[]", "there is no module model in it.")]
    [InlineData("", "the file is empty.")]
    public void Another_file_is_refused(string text, string expected)
    {
        UsageException refusal = Assert.Throws<UsageException>(() => ModelFile.Read(_folder.Write("models.json", text), null));
        Assert.Contains(expected, refusal.Message, StringComparison.Ordinal);
    }
}
