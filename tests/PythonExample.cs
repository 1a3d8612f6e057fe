using System.Diagnostics;

namespace Reliability;

/// <summary>The example of a plug-in in Python as docs/plug-ins-remote.md has it: a copy of its folder with the classes of the contract made in it.</summary>
internal sealed class PythonExample : IDisposable
{
    public const string Id = "example-inverse-gaussian", Command = "/usr/bin/python3";

    public const string NotInstalled =
        "THE PYTHON EXAMPLE WAS NOT RUN: install python3-grpcio, python3-protobuf, protobuf-compiler and protobuf-compiler-grpc.";

    private readonly string _folder = Directory.CreateTempSubdirectory("reliability-example-").FullName;

    public PythonExample()
    {
        var example = Repository.Path("docs/examples/inverse-gaussian-python");
        foreach (var file in new[] { "plug_in.py", "generate.sh" })
            File.Copy(Path.Combine(example, file), Path.Combine(_folder, file));
        if (!Succeeds("bash", Path.Combine(_folder, "generate.sh"), Repository.Path("protos")))
            throw new InvalidOperationException("generate.sh failed.");
    }

    /// <summary>Whether Python's gRPC and the generator of its classes are there.</summary>
    public static bool IsInstalled => Succeeds(Command, "-c", "import grpc, google.protobuf") && Succeeds("protoc", "--version");

    /// <summary>The program.</summary>
    public string Script => Path.Combine(_folder, "plug_in.py");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static bool Succeeds(string program, params string[] arguments)
    {
        try
        {
            using var process = Process.Start(program, arguments);
            process.WaitForExit();
            return process.ExitCode == 0;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return false;
        }
    }
}
